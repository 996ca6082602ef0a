#pragma once
/// The garden at a time: what the events up to then add up to.

#include <algorithm>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "core/base/shared_list.hpp"
#include "core/garden/event.hpp"

namespace leafturn::garden {

/// A fact with the event it came from, so that pages can show and amend it.
template <class T>
struct Dated {
  T what;
  Instant at;
  Id id;
  std::string by;
  bool amended = false;
  std::uint64_t said = 0;  ///< place in the ledger of the saying or of the amendment that holds
  std::uint64_t seq = 0;   ///< place in the ledger of the saying as first told; among equal times it orders
};

struct Planting {
  PlantingSown sown;
  Instant at;
  Id id;
  std::optional<Instant> removed;
};

/// What an amendment is checked against: the event it names.
struct KnownEvent {
  std::size_t kind = 0;  ///< index in Payload
  Instant at;            ///< as first told
};

struct Garden {
  std::optional<GardenDescribed> described;
  std::vector<BedLaid> beds;       ///< in order of laying; a bed laid again replaces its measures
  SharedList<Planting> plantings;  ///< by time set out
  // Each by time, then by place in the ledger.
  SharedList<Dated<CountTaken>> counts;
  SharedList<Dated<WorkDone>> work;
  SharedList<Dated<Application>> applications;
  SharedList<Dated<HarvestTaken>> harvests;
  SharedList<Dated<HarvestPlanned>> planned_harvests;
  SharedList<Dated<CardCopied>> cards;  ///< latest per product last
  SharedList<Dated<WeatherAdded>> weather;
  SharedList<Dated<BedReleased>> releases;
  SharedList<Dated<ApplicationJudged>> judgements;
  SharedList<Dated<EquipmentKept>> equipment;  ///< latest per sprayer last
  SharedList<Dated<CatchTest>> catch_tests;
  SharedList<Dated<StockCounted>> stock;  ///< latest per product and lot last
  SharedList<Dated<BedEntered>> entries;
  SharedList<Dated<SprayBegun>> begun;
  SharedList<Dated<AgencyAnswered>> agency_answers;  ///< latest per product last
  std::uint64_t last_seq = 0;

  const BedLaid* bed(std::string_view name) const;
  const Planting* planting(std::string_view name) const;
  /// Plantings standing in a bed at a time: set out (or recorded) by then, not removed, bed not pulled since.
  std::vector<const Planting*> standing(std::string_view bed, Instant at, Date today) const;
  /// What an application written down unjudged turned out to be; nothing while nobody has judged it as it now stands, and for others.
  const Dated<ApplicationJudged>* judgement_of(const Dated<Application>& application) const;
  /// Made, unjudged, and not judged since.
  bool awaits_judgement(const Dated<Application>& application) const;
  /// Made outside the label, told so or judged so.
  bool outside_label(const Dated<Application>& application) const;
  /// The release that lifts what an application outside the label put on its bed: of a later time, and written when the ledger already held
  /// the application as it now stands and what it was judged to be. Who released the bed can't have meant a spray nobody had told.
  const Dated<BedReleased>* release_of(const Dated<Application>& application) const;
  /// What was told with an application; of a plan carried out also what was told with the plan, where nothing newer is said. What was seen
  /// in flower when it was planned is no look of later.
  Told told_with(const Application& application) const;
  /// The latest beginning of a planned spray by then; nothing while it wasn't begun. It may be begun again, after rain, say.
  const Dated<SprayBegun>* begun_of(const Id& plan, Instant by) const;
  /// The agency's latest answer about a product, of those written down for a time up to then.
  const Dated<AgencyAnswered>* agency_answer(std::string_view product, Instant by) const;
  /// The latest application outside the label that keeps the bed locked (do not pick or give away); nothing once the bed was released after
  /// each.
  const Dated<Application>* locked_by(std::string_view bed) const;
};

/// Of a list by time, the part from one time to another, both included. Shares with the whole.
template <class T>
SharedList<T> within(const SharedList<T>& list, Instant from, Instant to) {
  const auto first = std::partition_point(list.begin(), list.end(), [&](const T& item) { return item.at < from; });
  const auto last = std::partition_point(first, list.end(), [&](const T& item) { return item.at <= to; });
  return list.slice(static_cast<std::size_t>(first - list.begin()), static_cast<std::size_t>(last - list.begin()));
}

/// The day by the sun where the garden lies (longitude ÷ 15 hours from UTC). Core knows no zone; rules that need the wall's day take it as
/// an argument.
Date solar_day(const Garden& garden, Instant at);

/// Events in any order; those that happened after `at` are left out: `Chronicle` (chronicle.hpp) in one call.
Garden fold(std::span<const Recorded> events, Instant at);

/// Would this event make sense now? Errors name the field. Checked before append, never after. `now`: what the server's clock says.
///
/// Heading: `garden.in_the_future` (over 5 minutes), `garden.writer_seq`. Text: `garden.text_empty`, `garden.text_too_long`,
/// `garden.text_characters`. Places and measures: `garden.coordinates`, `garden.elevation`, `garden.own_day` (only an invented garden has
/// one), `garden.bed_measures`, `garden.no_such_bed`. Plantings: `garden.planting_exists`, `garden.no_such_planting`,
/// `garden.planting_elsewhere`, `garden.plants_impossible`, `garden.dates_reversed`, `garden.removed_already`,
/// `garden.removed_before_planting`. Counts and harvests: `garden.count_impossible` (plants < 1, count < 0, more plants than stand there),
/// `garden.count_before_planting`, `garden.bed_empty`, `garden.not_standing`, `garden.amount_impossible`. Applications: `garden.no_card`
/// (no card, neither outside label nor unjudged), `garden.planned_outside_label`, `garden.planned_unjudged`, `garden.cancel_needs_plan`,
/// `garden.no_such_plan`, `garden.plan_finished`, `garden.plan_of_another`, `garden.bed_not_locked`, `garden.used_impossible` (an amount,
/// area or spray that can't be, more left over than mixed), `garden.growth_stage`. Catch tests, stock, entries: `garden.no_such_equipment`,
/// `garden.amount_impossible`, `garden.dates_reversed`, `garden.in_the_future` (opened). Beginnings: `garden.no_such_plan`,
/// `garden.plan_finished`, `garden.plan_of_another`, `garden.begun_before_plan`, `garden.at_bed_impossible`. Answers of an agency:
/// `garden.no_such_product`, `garden.in_the_future`. Judgements: `garden.judges_nothing`. Amendments: `garden.amends_nothing`,
/// `garden.amends_amendment`, `garden.amends_other_kind`, `garden.judgement_stays`. `target`: the event an amendment names, where the
/// ledger holds it.
Status check(const Garden& garden, const Event& event, Instant now, const std::optional<KnownEvent>& target = {});

}  // namespace leafturn::garden
