#pragma once
/// The sign at the bed: who may not go in, until when, after which spray. For sprays planned, and for those whose waiting still runs.

#include "app/records.hpp"

namespace leafturn::app {

struct SignsQuestion {
  std::string bed;  ///< empty: every bed that needs one
  std::optional<Instant> at;
};
struct Sign {
  records::SprayRecord record;  ///< of a plan, `ended` is the time planned
  bool planned = false;
  records::SignTimes times;
};
struct SignsAnswer {
  Stamp stamp;
  std::vector<Sign> signs;  ///< by bed, as the garden lists them
};
/// Errors: `garden.no_such_bed`, and the ledger's.
Result<SignsAnswer> signs(OpenGarden& garden, const SignsQuestion& question, Instant now);

}  // namespace leafturn::app
