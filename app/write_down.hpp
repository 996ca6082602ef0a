#pragma once
/// The command line's way of writing things down: words as typed become one event, judged and appended by app/record.

#include <optional>
#include <string>

#include "app/record.hpp"
#include "app/spray_start.hpp"
#include "app/told.hpp"

namespace leafturn::app {

/// When it happened and who says so. Without a time: the garden's own day, else now.
struct WhenAndWho {
  std::optional<std::string> at;
  std::string by;
};

struct CountTyped {
  std::string bed, pest, stage, plants, count;
};
struct PlantingTyped {
  std::string planting, bed, crop;
  std::optional<std::string> plants, set_out, first_harvest, last_harvest;
};
struct HarvestTyped {
  std::string bed, planting;
  std::optional<std::string> amount;
  std::string detail;
  std::optional<std::string> early = {};  ///< `destroyed`, `held`
};
/// What a spray used; all of it may be left out.
struct UsedTyped {
  std::optional<std::string> amount, area, mixed, leftover;
  std::string lot, equipment, nozzle, method, why, system_plan;
  std::optional<std::string> use_type, growth_stage;
};
struct SprayTyped {
  std::string bed, planting, product, rate, pest, detail;
  std::optional<std::string> plan;  ///< id of the plan carried out or cancelled
  bool outside_label = false;
  UsedTyped used = {};
  ToldTyped told = {};
};
struct BeginningTyped {
  std::string plan, bed, product, despite;
  StartTyped look = {};  ///< its bed, product and time aren't read
};
struct AgencyTyped {
  std::string product, on, words;
  bool allows = false;
};

/// Any saying, at the time and under the name typed: for app/keep.
Result<RecordOutcome> write_saying(OpenGarden& garden, const garden::Payload& payload, const WhenAndWho& when, Instant now);

/// Errors: those of the words (`quantity.…`, `time.…`, `write.work_kind`, `write.basis`, `write.id`, `app.no_such_pest`,
/// `app.no_such_stage`) and of app::record.
Result<RecordOutcome> write_count(OpenGarden& garden, const CountTyped& typed, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_planting(OpenGarden& garden, const PlantingTyped& typed, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_removal(OpenGarden& garden, const std::string& planting, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_harvest(OpenGarden& garden, const HarvestTyped& typed, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_harvest_plan(OpenGarden& garden, const std::string& planting, const std::string& day, const WhenAndWho& when,
                                         Instant now);
/// `kind`: `hand-pick`, `crush-eggs`, `cover`, `uncover`, `pull`, `water`, `release-friends`, `clean-up`.
Result<RecordOutcome> write_work(OpenGarden& garden, const std::string& kind, const std::string& bed, const std::string& detail,
                                 const WhenAndWho& when, Instant now);
/// A planned spray begun, with the last look at the bed. Errors: those of app::record, `write.id`.
Result<RecordOutcome> write_beginning(OpenGarden& garden, const BeginningTyped& typed, const WhenAndWho& when, Instant now);
/// What an agency answered about a product.
Result<RecordOutcome> write_agency(OpenGarden& garden, const AgencyTyped& typed, const WhenAndWho& when, Instant now);
/// `basis`: `destroyed`, `authority`.
Result<RecordOutcome> write_release(OpenGarden& garden, const std::string& bed, const std::string& basis, const std::string& detail,
                                    const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_withdrawal(OpenGarden& garden, const std::string& id, const std::string& reason, const WhenAndWho& when,
                                       Instant now);

/// A spray asked about, planned or made.
struct SprayOutcome {
  TreatQuestion question;
  std::optional<TreatAnswer> answer;     ///< absent when the garden has no card of that product
  std::optional<RecordOutcome> written;  ///< absent when nothing was to be written, or the card didn't allow it
  std::optional<Reason> actual;          ///< what the amounts came to (app/keep)
};
/// Writes nothing. Errors: those of may_treat.
Result<SprayOutcome> ask_spray(OpenGarden& garden, const SprayTyped& typed, const WhenAndWho& when, Instant now);
/// A plan, or one made. What the card doesn't allow comes back unwritten with the answer; one made outside the label is written when it
/// says so.
Result<SprayOutcome> write_spray(OpenGarden& garden, garden::Application::State state, const SprayTyped& typed, const WhenAndWho& when,
                                 Instant now);
/// Takes a plan back: the bed is free of it.
Result<RecordOutcome> cancel_spray(OpenGarden& garden, const SprayTyped& typed, const WhenAndWho& when, Instant now);

}  // namespace leafturn::app
