#pragma once
/// Everything a person does or says, as values. An event is never changed: a later `Amended` says what is right instead.
/// Bytes ↔ values: io/event_json. Order and receipts: store/. What it all adds up to: garden.hpp.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/ids.hpp"
#include "core/base/quantity.hpp"
#include "core/garden/told.hpp"

namespace leafturn::garden {

/// The highest number a writer may give: exact in every phone's numbers.
inline constexpr std::uint64_t most_writer_seq = std::uint64_t{1} << 53;

struct Heading {
  Id id;
  std::string writer;            ///< which device or program wrote it
  std::uint64_t writer_seq = 0;  ///< 1, 2, 3 … per writer, so gaps show
  Instant happened_at;
  std::string by;  ///< person reference; may be empty
  /// How far the writer's clock was ahead of the server's when they were last compared; absent = not compared, or the time was typed by a
  /// person.
  std::optional<Duration> clock_offset = {};

  /// The time that rules and science read: `happened_at`, less the offset once that is a minute or more (less is what a slow line makes).
  /// The writer's own words stay in the event.
  Instant at() const;
};

enum class Units { metric, us };
enum class Setting { residential, agricultural };

struct GardenDescribed {
  std::string name;
  Angle latitude, longitude;
  Length elevation;
  std::string zone;  ///< IANA name
  Units units = Units::metric;
  std::string jurisdiction;  ///< `US-WI`, `EU-FR`, `other`; empty = unset = unknown
  std::optional<Setting> setting;
  std::optional<CivilTime> own_day;     ///< a demo's day, used when no time is asked for
  std::optional<std::string> marked;    ///< 'invented' for demo gardens: shown everywhere
  std::optional<Produce> produce = {};  ///< what becomes of most of it
};
struct BedLaid {
  std::string bed;
  Length x, y, width, length;         ///< corner and size on the garden's own grid
  std::optional<bool> organic = {};   ///< grown under organic rules
  std::optional<bool> enclosed = {};  ///< under glass or plastic
};
struct PlantingSown {
  std::string planting, bed, crop;  ///< crop: EPPO code
  std::optional<int> plants;
  std::optional<Date> set_out, first_harvest, last_harvest;
};
struct PlantingRemoved {
  std::string planting;
};
struct CountTaken {
  std::string bed, pest, stage;  ///< pest: dossier file name or EPPO code; stage: a word of pest::stages_for
  int plants = 0;
  int count = 0;
};
/// Work without a product.
struct WorkDone {
  enum class Kind { hand_pick, crush_eggs, cover, uncover, pull, water, release_friends, clean_up } kind = Kind::hand_pick;
  std::string bed;
  std::string detail;
};
/// Product as it is measured out: a liquid by volume, a dry one by mass.
using Amount = std::variant<Volume, Mass>;
/// What a made application used, as far as it was written down: what the records ask for.
struct Used {
  /// Annex of Regulation (EU) 2023/564: on a surface, in a closed space, on seed or plants before they are set.
  enum class Type { surface, closed_space, seed };
  std::optional<Amount> amount;           ///< of the product as it is in its container, put into the tank
  std::optional<Area> area;               ///< treated
  std::optional<Volume> mixed, leftover;  ///< finished spray made up; of it, what wasn't sprayed
  std::string lot, equipment, nozzle;     ///< printed on the container; which sprayer, with which nozzle
  std::string method;                     ///< in the label's words: foliar, soil drench
  std::optional<Type> type;
  std::optional<int> growth_stage;  ///< BBCH, 0–99
  std::string why;                  ///< why gentler means were not enough
  std::string system_plan;          ///< where the organic system plan allows it

  /// Anything at all.
  bool told() const;
  /// Of the product, on the ground: what was left in the tank is not.
  std::optional<Amount> applied() const;
};
/// A spray planned (locks the bed) or made. `happened_at` of a made one is its end.
struct Application {
  enum class State { planned, made, cancelled } state = State::made;
  std::string bed, planting;   ///< planting may be empty: the bed's plantings then
  std::string product;         ///< as on the card
  std::optional<Digest> card;  ///< the card's text as it was then; absent = no card
  std::string rate;            ///< as given: `2 floz/gal`
  std::string pest;            ///< target, may be empty
  bool outside_label = false;  ///< already made although the card refuses or is not known
  std::string detail;
  std::optional<Id> plan;  ///< the planned one this carries out or cancels
  /// Made where no card could be asked (a phone without signal): the bed is locked until an ApplicationJudged says what it was.
  bool not_judged = false;
  Used used = {};
  Told told = {};  ///< judged with it
};
/// A planned spray begun: the last look at the bed was good (core/spray/start.hpp). `happened_at` is its start.
struct SprayBegun {
  Id plan;
  std::string bed, product;  ///< the plan's
  AtBed seen;
  std::string despite;  ///< why, where advice spoke against it; label law has no such word
};
struct HarvestTaken {
  /// Picked before its day: made away with, or kept apart until an authority has answered. Neither is eaten, sold or given to animals.
  enum class Early { destroyed, held };
  std::string bed, planting;
  std::optional<Mass> amount;
  std::string detail;
  std::optional<Early> early = {};  ///< absent: free to be eaten
};
struct HarvestPlanned {
  std::string planting;
  Date day;
};
struct CardCopied {
  std::string product;
  Digest text;  ///< blob: the TOML as copied
};
/// What a weather file doesn't say of itself: temperatures in °F or °C, or everything in US or SI units.
enum class FileUnits { fahrenheit, celsius, us, si, tenths };
struct WeatherAdded {
  std::string name;                     ///< a file added again under the same name replaces the earlier one
  Digest text;                          ///< blob: the file as it was
  std::optional<FileUnits> units = {};  ///< read so, whatever the file says; absent = as it says, else the garden's own
  std::string station = {};             ///< which one, where the file holds several; else empty
};
/// Lifts the lock an application outside the label puts on a bed.
struct BedReleased {
  enum class Basis { destroyed, authority } basis = Basis::destroyed;
  std::string bed;
  std::string detail;  ///< who wrote what, when
};

/// What the card, asked at last, says of an application written down unjudged. Only the garden's own server says it, beside the application
/// or later; its `happened_at` is the application's.
struct ApplicationJudged {
  enum class Verdict { within_label, outside_label } verdict = Verdict::outside_label;
  Id application;
  std::string bed;             ///< the application's
  std::optional<Digest> card;  ///< the text it was judged by; absent = there was none to judge by
  std::string rule;            ///< outside: the label rule that refuses or can't be answered, or the error that kept it from being asked
};

/// A sprayer and the nozzle on it; told again, it is replaced.
struct EquipmentKept {
  std::string equipment, nozzle;
  std::optional<Volume> tank;  ///< what one filling holds
  std::string detail;
};
/// Clean water caught over ground of known size: how much one person gives with one sprayer and nozzle. `by` is who walked.
struct CatchTest {
  std::string equipment, nozzle;
  Volume caught;
  Area area;
  std::string detail;
};
/// What is on the shelf of one lot; told again, it is counted anew.
struct StockCounted {
  std::string product, lot;
  Amount amount;
  std::optional<Date> opened, expires;
  std::string detail;
};
/// Somebody went into a bed; `by` is who. Before the re-entry interval ends only under an exception.
struct BedEntered {
  /// 40 CFR 170.603 (from memory): nothing treated is touched; at most an hour of short tasks; an emergency declared by an authority.
  enum class Exception { no_contact, short_task, emergency };
  std::string bed;
  std::optional<Exception> exception;  ///< absent: the bed was free
  std::optional<Duration> stayed;
  std::string detail;
};

/// What the authority that registers products answered when asked whether a home-garden product may be used where produce is sold or given
/// away; the latest holds.
struct AgencyAnswered {
  std::string product;
  bool allows = false;
  Date on;
  std::string words;  ///< who wrote what
};

/// What can be said, and so be put right later.
using Saying = std::variant<GardenDescribed, BedLaid, PlantingSown, PlantingRemoved, CountTaken, WorkDone, Application, HarvestTaken,
                            HarvestPlanned, CardCopied, WeatherAdded, BedReleased, ApplicationJudged, EquipmentKept, CatchTest,
                            StockCounted, BedEntered, SprayBegun, AgencyAnswered>;

/// Replaces or withdraws an earlier event (never another amendment: amend the first again); both stay readable. The latest by `seq` holds.
struct Amended {
  Id target;
  std::string reason;
  std::optional<Saying> replacement;   ///< of the same kind as the target; absent = withdrawn
  std::optional<Instant> happened_at;  ///< the right time, when that was wrong
};

using Payload = std::variant<GardenDescribed, BedLaid, PlantingSown, PlantingRemoved, CountTaken, WorkDone, Application, HarvestTaken,
                             HarvestPlanned, CardCopied, WeatherAdded, BedReleased, ApplicationJudged, EquipmentKept, CatchTest,
                             StockCounted, BedEntered, SprayBegun, AgencyAnswered, Amended>;

struct Event {
  Heading heading;
  Payload payload;
};

/// An event with its place in the ledger.
struct Recorded {
  std::uint64_t seq = 0;
  Instant received;
  Event event;
};

/// The word for an event's kind, as in its bytes: `count_taken`.
std::string_view kind_word(const Payload& payload);

/// What was said; nothing for an amendment.
std::optional<Saying> saying_of(const Payload& payload);

}  // namespace leafturn::garden
