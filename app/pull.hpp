#pragma once
/// 'Pull this bed?': the other beds that then run a risk, pest by pest, with and without doing something first.

#include "app/compare.hpp"
#include "core/decision/pull.hpp"

namespace leafturn::app {

struct PestPulled {
  const pest::Dossier* dossier = nullptr;
  std::string crop;
  decision::Acts acts;
  std::vector<decision::Receiver> receivers;
  std::vector<decision::PullPlan> plans;  ///< points into `acts`; empty where no source says what pulling does to this pest
  decision::PullAnswer answer;            ///< points into `receivers` and `plans`
  std::vector<Reason> knows, cannot_know;
};

struct PullAnswer : BedAsked {
  bool past_harvest = false;
  std::vector<PestPulled> pests;
};

/// Errors as compare's.
Result<PullAnswer> pull(OpenGarden& garden, const BedQuestion& question, Instant now);

}  // namespace leafturn::app
