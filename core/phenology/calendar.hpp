#pragma once
/// A season over every future the weather leaves open, as dates with intervals: what a calendar on the wall shows.

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/phenology/cohort.hpp"

namespace leafturn::phenology {

/// When one share has entered a stage, over the futures. A future in which it never does counts as later than all others, so the dates are
/// in order for every mark and more futures never undo one.
struct MarkDates {
  std::optional<CivilTime> at;           ///< in the middle future (the lower of two middles); absent when most never reach it
  std::optional<CivilTime> early, late;  ///< what a tenth and nine tenths of the futures reach by then; absent with a single future
  std::size_t reached = 0;               ///< futures that reach it at all
};

/// Of 5, 25, 50, 75, 95 %.
using MarkTable = std::array<MarkDates, 5>;

/// A share over the futures: mean, and the range of all but a tenth at either end.
struct ShareOver {
  double mean = 0.0, low = 0.0, high = 0.0;
};

struct StageCalendar {
  std::size_t stage = 0;  ///< index into Dossier::stages
  MarkTable enter;
  double share = 0.0;  ///< of the unit that has entered by the end, mean over the futures
};

struct GenerationCalendar {
  int number = 1;
  ShareOver laid, complete, resting;  ///< as in Generation
  /// Not a whole generation: less than 95 % of its unit is laid, or less than 95 % of it becomes adult or rests. Nothing where the weather
  /// ends before the year does: then it isn't known yet.
  std::optional<bool> partial;
  std::vector<StageCalendar> stages;
};

struct Calendar {
  BiofixFound biofix;                             ///< of the middle future; without a date when most futures have none
  std::optional<Date> biofix_early, biofix_late;  ///< a tenth, nine tenths of the futures; absent with a single one
  std::size_t members = 0;
  GenerationCalendar overwintered;
  std::vector<GenerationCalendar> generations;  ///< as many as any future has
  std::vector<weather::Gap> gaps;               ///< of the first future
};

/// `whole_year`: every future has weather up to 31 December. `seasons` of one dossier and one request.
Calendar calendar(const pest::Dossier& dossier, std::span<const Season> seasons, bool whole_year);

/// A stage worth a line of its own: the first of its group, or the laying adult.
bool is_key_stage(const pest::Dossier& dossier, std::size_t stage);

/// What comes next: the first (5 %) or the middle one (50 %) of a generation to enter a stage.
struct NextEvent {
  int generation = 1;
  std::size_t stage = 0;
  std::size_t mark = 0;  ///< 0: 5 %, 2: 50 %
  MarkDates when;
};

/// The next few on or after `from`, earliest first: the 5 % and 50 % marks of every generation's key stages.
std::vector<NextEvent> next_events(const pest::Dossier& dossier, const Calendar& calendar, Date from, std::size_t most = 5);

/// The middle and the tenths of times over futures, those that never come last: nearest rank, so no time is made up.
MarkDates over_members(std::vector<std::optional<CivilTime>> times);
ShareOver share_over(std::vector<double> shares);
/// `mark` 0 … 4: the 5, 25, 50, 75, 95 %.
const std::optional<CivilTime>& mark_of(const Quantiles& quantiles, std::size_t mark);

}  // namespace leafturn::phenology
