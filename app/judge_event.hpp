#pragma once
/// May this be written down? What an event is asked before it is appended: app/record calls it for each, in turn.

#include <limits>
#include <optional>

#include "app/record.hpp"
#include "core/garden/chronicle.hpp"

namespace leafturn::app {

/// What judging an event came to.
struct Judged {
  std::optional<label::Judgement> judgement;
  std::optional<garden::ApplicationJudged> settled;  ///< to be written down with it
  Instant at;                                        ///< of the application that was settled
};

/// What is known, whenever it happened: checks and judgements look at the garden as it stands in the ledger.
inline constexpr Instant end_of_time = Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2);

/// Judged against the garden as it stands; the judgement of an application comes back. Errors: those of app::record.
Result<Judged> judge_event(OpenGarden& garden, const garden::Chronicle& chronicle, const garden::Event& event, Instant now);

/// What the card says at last of a spray written down where it couldn't be asked. Nothing settled when it can't be asked now either.
/// `state`: the garden without it.
Judged settle_unjudged(OpenGarden& garden, const garden::Garden& state, const garden::Application& application, const Id& id, Instant at);

/// A question about a bed, answered for every planting that stands there.
Result<TreatAnswer> judge_bed(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const TreatQuestion& question);

}  // namespace leafturn::app
