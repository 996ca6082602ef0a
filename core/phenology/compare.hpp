#pragma once
/// Is it early or late? This year's heat and dates against the same place's other years.

#include <optional>
#include <span>
#include <vector>

#include "core/phenology/calendar.hpp"

namespace leafturn::phenology {

/// The heat that is compared: hour by hour above `lower` and no higher than `upper`, in °C·days, summed from a day of the year on.
struct HeatRule {
  Temperature lower;
  std::optional<Temperature> upper;
  bool in_soil = false;
  int month = 1, day = 1;  ///< the sum starts here
};

/// Of the biofix where it is a degree-day sum; else above the lower threshold of the first stage, in air, from 1 January. Nothing where the
/// first stage's rate has no lower threshold (Schoolfield, Logan and table forms).
std::optional<HeatRule> heat_rule(const pest::Dossier& dossier);

/// Fewer whole years before than these are no normal; more than these are not looked at.
inline constexpr std::size_t least_years = 5;
inline constexpr std::size_t most_years = 30;

struct HeatDay {
  Date date;
  std::optional<DegreeDays> this_year;          ///< to `until`; nothing from the first day without weather on
  std::optional<DegreeDays> last_year;          ///< by the same day of the year
  std::optional<DegreeDays> normal, low, high;  ///< mean and range of the years before
};

struct HeatComparison {
  HeatRule rule;
  std::size_t years = 0;      ///< whole years in the normal: the latest 30 before this one without a missing day from the start on
  std::vector<HeatDay> days;  ///< from the start to 31 December; 29 February is there when this year has one, with the 28th's normal
  Date until;                 ///< the last day of this year's sum
  std::optional<DegreeDays> now, normal, low, high, last_year;  ///< at `until`
  /// How many days later the normal year, and last year, reach this year's sum: positive = this year is ahead. Nothing when they never do.
  std::optional<int> days_ahead_of_normal, days_ahead_of_last_year;
};

/// `felt`: the record, air or soil as the rule says, with its short gaps filled. Days after `until` are not looked at in `year`.
HeatComparison compare_heat(const HeatRule& rule, const weather::HourlySeries& felt, int year, Date until);

/// One earlier year's season.
struct PastSeason {
  int year = 0;
  Season season;
};

/// The day on which half of a generation has entered a stage, against other years.
struct KeyDate {
  int generation = 1;
  std::size_t stage = 0;
  std::optional<Date> this_year;
  std::optional<Date> last_year;                                     ///< as it was then
  std::optional<Date> normal, earliest, latest;                      ///< mean and range of the years that reach it, as days of this year
  std::size_t years = 0;                                             ///< of those, how many reach it
  std::optional<int> days_ahead_of_normal, days_ahead_of_last_year;  ///< positive = this year is ahead
};

/// For every generation the first stage of each group. A normal needs five years that reach it.
std::vector<KeyDate> compare_dates(const pest::Dossier& dossier, const Calendar& calendar, int year, std::span<const PastSeason> past);

}  // namespace leafturn::phenology
