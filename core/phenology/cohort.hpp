#pragma once
/// The calendar of one unit of a pest: when the shares of each generation pass from stage to stage. Numbers here are shares, never
/// headcounts.
///
/// Every stage is a chain of k equal substages; an individual leaves a substage at rate k·r(T) (linear chain, so time in a stage is Erlang
/// in physiological time: Manetsch 1976, IEEE Trans. SMC 6:547–553, from memory). The chain is integrated hour by hour.

#include <optional>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/pest/dossier.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::phenology {

/// When given shares of those that ever do it (or of the unit, see `Generation`) have entered a stage. Absent = not reached in the series.
struct Quantiles {
  std::optional<CivilTime> p05, p25, p50, p75, p95;
};

struct StageEntry {
  std::size_t stage = 0;  ///< index into Dossier::stages
  Quantiles enter;        ///< of the generation's whole unit: p50 absent when less than half ever enters
  double share = 0.0;     ///< share of the unit that has entered by the end
};

struct Generation {
  int number = 1;               ///< 0 = the overwintered ones, from the biofix to the end of laying
  double laid_share = 1.0;      ///< eggs laid into this generation, per egg the one before would lay in a season without end
  double complete_share = 0.0;  ///< of those eggs, the share that is adult before diapause or the end
  double resting_share = 0.0;   ///< share that stopped for the winter (diapause)
  std::vector<StageEntry> stages;
};

/// How a season started, or why it can't be said.
struct BiofixFound {
  std::optional<Date> date;  ///< of the median individual
  std::string code;  ///< catalogue key: `biofix.degree_days`, `biofix.warm_days`, `biofix.date`, `biofix.given`, `biofix.needs_find`,
                     ///< `biofix.not_yet`
};

/// Where everyone stands at the end of a day, per generation and stage, as shares of that generation's unit.
struct DayStand {
  Date date;
  /// [generation][stage]; generation 0 first. Resting individuals are not in it.
  std::vector<std::vector<double>> share;
  /// [generation][stage]: share of the unit that entered the stage on this day.
  std::vector<std::vector<double>> entered;
};

struct Season {
  BiofixFound biofix;
  std::vector<Generation> generations;  ///< from 1; empty without a biofix
  std::vector<DayStand> days;           ///< from the biofix's first entrants to the end
  std::vector<weather::Gap> gaps;       ///< days without weather: nobody developed on them, so everything after is late
};

struct SeasonRequest {
  const pest::Dossier* dossier = nullptr;
  const weather::HourlySeries* air = nullptr;
  weather::Site site;
  int year = 0;
  std::optional<Date> biofix;  ///< given by the user: median of `Biofix::stage`
  std::optional<Date> last;    ///< stop here (default: the year's end or the series' end)
};

/// The whole season. Pure, deterministic; cost about 0.2 ms per stage-substage-month (bench/season).
Season season(const SeasonRequest& request);

/// Individuals known to be in some stages at `from`, aged on to later days: where they stand. Position within the stage is taken as spread
/// evenly (what a count of a standing population knows). No deaths, no newcomers. Result: [day 0..days][stage] share of the counted ones at
/// the end of `from.date` + day; past the last stage they leave the table.
std::vector<std::vector<double>> age_on(const pest::Dossier& dossier, const weather::HourlySeries& air, const CivilTime& from,
                                        const std::vector<double>& stage_share, int days);

}  // namespace leafturn::phenology
