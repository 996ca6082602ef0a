#pragma once
/// Writing down what happened: one way in for pages, command line and import. An event is judged first and appended whole or not at all.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/open_garden.hpp"
#include "core/label/judge.hpp"

namespace leafturn::app {

struct RecordOutcome {
  store::Receipt receipt;
  std::optional<label::Judgement> judgement;  ///< of an application, as judged when it was recorded
  /// Of an application written down unjudged: what it turned out to be. Absent: the card couldn't be asked now either; the bed stays
  /// locked.
  std::optional<garden::ApplicationJudged> judged;
};

/// `bytes`: an event as its writer wrote it (docs/events.md), stored as they are.
/// Errors: everything io::decode_event and garden::check say; for an application, `treat.refused` or `treat.unknown` when the card doesn't
/// allow it — a plan is then never written; one already made is written only when it says `outside_label`. An amended application is judged
/// like a new one at its own time; `treat.made_stays` (a made one can't be withdrawn), `treat.state_stays`, `treat.frees_bed` (an amendment
/// of it, or of what stood there, that would free a bed whose wait still runs), `treat.begun_stays`, `treat.plan_stays`,
/// `treat.release_stays`, `garden.bed_in_use` (a bed used keeps its name). An application made that says `not_judged` is always written,
/// with what the card says of it beside it in the same commit
/// (`application_judged`, writer `judge`); that event is never taken from outside: `treat.judged_here`. A spray is begun only where the
/// look at the bed is good: `start.not_told`, `start.forbidden`, `start.advised_against` (unless it says why despite), `start.stays`. What
/// is picked before its day is written only as made away with or held: `harvest.not_yet`, `harvest.not_known`. A card or weather file must
/// be there and readable, a zone known: `ledger.no_such_blob`, `treat.card_of_another`, `zone.unknown` and the readers' own.
Result<RecordOutcome> record(OpenGarden& garden, std::string_view bytes, Instant now);

/// Judges applications that still wait for it, as when their card couldn't be read at the time. How many were.
Result<std::size_t> judge_waiting(OpenGarden& garden, Instant now);

/// The same for a saying put together here: makes the heading (fresh id, next writer_seq of `writer`).
Result<RecordOutcome> record_saying(OpenGarden& garden, const garden::Payload& payload, const std::string& writer, const std::string& by,
                                    Instant happened_at, Instant now);

/// May this be sprayed? Judged for every planting standing in the bed, with the ledger's own history, planned harvests and what lies
/// around it (core/decision/surroundings).
struct TreatQuestion {
  std::string bed;
  std::string product;                   ///< of a card in the garden
  std::string rate;                      ///< as given; empty = not given
  Instant on;                            ///< end of the application
  std::string pest = {};                 ///< what it is for: a dossier's name or EPPO code; may be empty
  garden::Told told = {};                ///< what only who stands there can say
  std::optional<Instant> told_at = {};   ///< when flowers were looked at; else at `on`
  std::optional<int> growth_stage = {};  ///< BBCH
};
struct TreatAnswer {
  struct ForPlanting {
    std::string planting, crop;
    label::Judgement judgement;
  };
  std::vector<ForPlanting> plantings;  ///< worst first; empty when the bed is empty
  label::Card card;
  Digest card_digest;
};
Result<TreatAnswer> may_treat(OpenGarden& garden, const TreatQuestion& question);

}  // namespace leafturn::app
