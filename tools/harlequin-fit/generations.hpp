#pragma once
/// The part held out of the fit: how many generations the kept sets give at a station.

#include <map>
#include <string>
#include <vector>

#include "core/pest/dossier.hpp"
#include "core/weather/diurnal.hpp"
#include "tools/harlequin-fit/fit.hpp"

namespace leafturn::fit {

/// Laying lasts 48 d (females often live so long in the field: Streams & Pimentel 1963) less the two weeks before it, at a summer mean of
/// 20–27 °C taken at its middle.
inline constexpr double laying_days = 34.0;
inline constexpr double laying_at_c = 23.5;

/// The dossier with a kept set in place of its own figures; the nymph's heat in five equal parts.
pest::Dossier with_set(const pest::Dossier& dossier, const Set& set);

/// A generation is full when at least half of its unit has become adult by the end of the year (`Generation::complete_share` ≥ 0.5: of the
/// eggs its mothers would lay in an endless season), and partial from a twentieth on. The number of a season is how many of them it has,
/// from the first without a break.
struct Generations {
  int full = 0, with_partial = 0;
};
Generations generations_of(const pest::Dossier& dossier, const weather::HourlySeries& air, const weather::Site& site, int year);

/// Seasons by number of generations.
struct Count {
  std::map<int, int> full, with_partial;
  int total = 0;
  int sets_always = 0;  ///< sets with three or four full ones in every year
  int sets_median = 0;  ///< sets whose median year has three or four full ones
  int sets = 0;
};
Count count_generations(const pest::Dossier& dossier, const std::vector<Set>& sets, const weather::HourlySeries& air,
                        const weather::Site& site, int first_year, int last_year);
std::string report(const Count& count, int first_year, int last_year);

}  // namespace leafturn::fit
