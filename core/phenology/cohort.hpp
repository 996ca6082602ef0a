#pragma once
/// The calendar of one unit of a pest: when the shares of each generation pass from stage to stage. Numbers here are shares, never
/// headcounts.
///
/// Every stage is a chain of k equal substages; an individual leaves a substage at rate k·r(T) (linear chain, so time in a stage is Erlang
/// in physiological time: Manetsch 1976, IEEE Trans. SMC 6:547–553, from memory). The chain is integrated hour by hour.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/fact.hpp"
#include "core/pest/dossier.hpp"
#include "core/phenology/winter.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::phenology {

/// When given shares of the unit have entered a stage, to the minute by straight lines within the hour. Absent = not reached in the series.
struct Quantiles {
  std::optional<CivilTime> p05, p25, p50, p75, p95;
};

struct StageEntry {
  std::size_t stage = 0;  ///< index into Dossier::stages
  Quantiles enter;        ///< of the generation's whole unit: p50 absent when less than half ever enters
  double share = 0.0;     ///< share of the unit that has entered by the end
};

/// One generation. Its unit is what it would be in a season without end or diapause: one egg for each individual of the generation before.
/// So a figure does not move when a series is continued: later days only add to it.
struct Generation {
  int number = 1;               ///< 0 = the overwintered ones, from the biofix to the end of laying
  double laid_share = 1.0;      ///< share of the unit laid by the end
  double complete_share = 0.0;  ///< share of the unit that enters the first adult stage before diapause or the end
  double resting_share = 0.0;   ///< share of the unit that stopped for the winter (diapause)
  std::vector<StageEntry> stages;
};

/// How a season started, or why it can't be said.
struct BiofixFound {
  std::optional<Date> date;  ///< of the median individual
  /// Catalogue key: `biofix.date`, `biofix.given`, `biofix.degree_days`, `biofix.warm_days` (both with `_soil`), `biofix.day_length`;
  /// without a date `biofix.needs_find` (nothing can be said), `biofix.migrant` (comes from south of `limit`, in degrees) or
  /// `biofix.migrant_everywhere`, `biofix.winter_kill` (not expected after a winter as cold as `coldest`), `biofix.not_yet` (the median is
  /// still to come; those already out are in the season), `biofix.no_weather`, `biofix.unknown_stage`, `biofix.southern` (the dossiers'
  /// months are those of the northern half of the Earth).
  std::string code;
  std::vector<Fact> facts;  ///< what the sentence of `code` needs: `date`, `since`, `sum`, `temperature`, `days`, `hours`
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
  Generation overwintered;              ///< generation 0; no stages where nothing can be said
  std::vector<Generation> generations;  ///< from 1, as long as 1 % of the unit is laid; at most twelve
  std::vector<DayStand> days;           ///< from the day a ten-thousandth of generation 0 is out to the end
  std::vector<weather::Gap> gaps;       ///< days without weather: nobody developed on them, so everything after is late
};

struct SeasonRequest {
  const pest::Dossier* dossier = nullptr;
  const weather::HourlySeries* air = nullptr;
  weather::Site site;
  int year = 0;
  std::optional<Date> biofix;             ///< given by the user: median of `Biofix::stage`
  std::optional<Date> last;               ///< stop here (default: the year's end or the series' end)
  std::optional<WinterCold> winter_kill;  ///< the winter before was too cold: no calendar unless `biofix` is given
};

/// The whole season. Pure, deterministic; about 10 ms for a year of eight stages and four generations.
///
/// **Start.** Generation 0 enters `Biofix::stage` spread around the biofix:
/// · a threshold `lower` in the dossier: log-normal in the heat above it since `month`/`day`, median at `sum` (or at noon of a given date),
///   coefficient of variation `spread`;
/// · `warm_days`: the first day whose mean over `run_days` days reaches `lower`; `day_length`: the first day from `month`/`day` on at least
///   `day_length_hours` long (CBM model); then normal in time around its noon, standard deviation `spread` × `run_days` days (at least
///   one), cut at four of them;
/// · a date without a threshold: evenly over that day.
/// Heat and warmth are those of the air, or with `in_soil` those of weather::soil_at_5cm; heat above `upper` counts no more. A given date
/// (the first find, the first catch) rules over the dossier's rule, the weather, a migrant's absence and a killing winter. Without one,
/// `first_find` is `biofix.needs_find`.
///
/// **Laying.** Heat drives it: an individual of the last stage lays evenly over its stage in physiological time, one unit in all.
///
/// **Diapause.** Who leaves the sensitive stage (the last one of a group, but never the laying adult) while days shorten is bound to rest
/// with chance Φ((critical − day length)/slope); day length is sunrise to sunset (CBM model, sun's centre 0.8333° below the horizon), as
/// most published critical day lengths are; one that counts twilight has to be converted in the dossier. Spring days of the same length
/// bind nobody, nor is generation 0 bound (common practice, no source). The bound go on to the resting stage and stop on entering it; where
/// that is the sensitive stage itself, they stop instead of leaving it.
///
/// **Soil.** Stages `in_soil` feel weather::soil_at_5cm of the same series.
Season season(const SeasonRequest& request);

/// The same season in several futures (`request.air` is not used): one result for each, equal to season() of it bit by bit. The days at the
/// beginning that all have in common are computed once.
std::vector<Season> seasons(const SeasonRequest& request, std::span<const weather::HourlySeries> futures);

/// The same where people look: `request.biofix` is left out and settled here. The first find of the year (`found`) starts a pest that no
/// calendar can start (`first_find`, a migrant, a killing winter), and one found before `today` although its calendar lets none out by
/// then.
struct LocalSeasons {
  std::vector<Season> seasons;
  std::size_t begun = 0;  ///< index of a season with anyone out; `seasons.size()` when none has
};
LocalSeasons local_seasons(SeasonRequest request, std::span<const weather::HourlySeries> futures, std::optional<Date> found, Date today);

/// Individuals known to be in some stages at `from`, aged on to later days: where they stand. Position within the stage is taken as spread
/// evenly (what a count of a standing population knows). No deaths, no newcomers, no diapause; on days without weather nobody moves.
/// Result: [day 0..days][stage] share of the counted ones at the end of `from.date` + day; past the last stage they leave the table.
std::vector<std::vector<double>> age_on(const pest::Dossier& dossier, const weather::HourlySeries& air, const CivilTime& from,
                                        const std::vector<double>& stage_share, int days);

}  // namespace leafturn::phenology
