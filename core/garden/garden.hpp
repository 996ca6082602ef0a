#pragma once
/// The garden at a time: what the events up to then add up to.

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
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
};

struct Planting {
  PlantingSown sown;
  Instant at;
  Id id;
  std::optional<Instant> removed;
};

/// Laws: the fold of a prefix, then of the rest onto it, equals the fold of all (snapshots rely on it);
/// the order in which events were appended changes nothing but amendments (equal (happened_at) ties go by seq).
struct Garden {
  std::optional<GardenDescribed> described;
  std::vector<BedLaid> beds;            ///< in order of laying; a bed laid again replaces its measures
  std::vector<Planting> plantings;      ///< by time set out
  std::vector<Dated<CountTaken>> counts;
  std::vector<Dated<WorkDone>> work;
  std::vector<Dated<Application>> applications;
  std::vector<Dated<HarvestTaken>> harvests;
  std::vector<Dated<HarvestPlanned>> planned_harvests;
  std::vector<Dated<CardCopied>> cards;      ///< latest per product last
  std::vector<Dated<WeatherAdded>> weather;
  std::vector<Dated<BedReleased>> releases;
  std::uint64_t last_seq = 0;

  const BedLaid* bed(std::string_view name) const;
  const Planting* planting(std::string_view name) const;
  /// Plantings standing in a bed at a time: set out (or recorded) by then, not removed, bed not pulled since.
  std::vector<const Planting*> standing(std::string_view bed, Instant at, Date today) const;
};

/// Events in any order; those that happened after `at` are left out.
Garden fold(std::span<const Recorded> events, Instant at);

/// Would this event make sense now? Errors name the field: `garden.no_such_bed`, `garden.bed_empty`, `garden.no_such_planting`,
/// `garden.planting_exists`, `garden.count_impossible` (plants < 1, count < 0, more plants than stand there), `garden.count_before_planting`,
/// `garden.in_the_future`, `garden.removed_already`, `garden.dates_reversed`, `garden.coordinates` … Checked before append, never after.
/// `now`: what the server's clock says, for `garden.in_the_future`.
Status check(const Garden& garden, const Event& event, Instant now);

}  // namespace leafturn::garden
