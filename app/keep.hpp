#pragma once
/// Writing down sprayers, catch tests, the shelf and entries, as typed on the command line; and what a spray used.

#include <optional>
#include <string>

#include "app/write_down.hpp"
#include "core/spray/kept.hpp"

namespace leafturn::app {

struct EquipmentTyped {
  std::string equipment, nozzle;
  std::optional<std::string> tank;
  std::string detail;
};
/// Caught on a plot (`volume` and `area`), or `flow`, `speed` and `width`.
struct CatchTestTyped {
  std::string equipment, nozzle;
  std::optional<std::string> volume, area, flow, speed, width;
  std::string detail;
};
struct StockTyped {
  std::string product, lot, amount;
  std::optional<std::string> opened, expires;
  std::string detail;
};
struct EntryTyped {
  std::string bed;
  std::optional<std::string> exception, stayed;
  std::string detail;
};

/// Errors: those of the words (`quantity.…`, `calibrate.…`, `write.exception`) and of app::record.
Result<RecordOutcome> write_equipment(OpenGarden& garden, const EquipmentTyped& typed, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_catch_test(OpenGarden& garden, const CatchTestTyped& typed, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_stock(OpenGarden& garden, const StockTyped& typed, const WhenAndWho& when, Instant now);
Result<RecordOutcome> write_entry(OpenGarden& garden, const EntryTyped& typed, const WhenAndWho& when, Instant now);

/// Errors: `quantity.…`, `write.use_type`.
Result<garden::Used> used_of(const UsedTyped& typed);
/// The rate an application is judged by: the one told, or the one its amounts come to where that is more. Nobody makes a spray weaker by
/// telling a smaller rate.
std::string rate_judged(const garden::Application& application);
/// What the amounts come to beside the rate told and the label's least: `spray.actual_above`, `spray.actual_weak`, `spray.actual_as_told`;
/// nothing when they weren't told.
std::optional<Reason> actual_said(const garden::Application& application, const std::optional<label::ProductRate>& least);

struct ShelfAnswer {
  std::vector<spray::Shelf> lots;
};
Result<ShelfAnswer> shelf(OpenGarden& garden, std::optional<Instant> at, Instant now);

}  // namespace leafturn::app
