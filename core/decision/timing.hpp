#pragma once
/// Where a pest stands in its calendar today and in the next days, over every future the weather leaves open.

#include <optional>
#include <vector>

#include "core/decision/brief.hpp"
#include "core/phenology/cohort.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::decision {

/// The air a bug feels, one hourly series per equally likely future; the recorded part is the same in all.
struct Air {
  std::vector<weather::HourlySeries> members;
  weather::Site site;
  Date today;  ///< first day not recorded
};
Air air_of(const WeatherKnown& known, const weather::Site& site, Date today);

/// Counts older than this are not carried on.
inline constexpr int memory_days = 21;

struct PestTiming {
  const pest::Dossier* dossier = nullptr;
  std::optional<Reason> unknown;   ///< why nothing below is filled, but `quiet` by the cold
  std::vector<StageStand> stands;  ///< stages present now or entered within the horizon, in order of life
  std::vector<double> present;     ///< [stage] share of the living, all generations together, at the end of yesterday
  std::optional<Date> biofix;
  /// Nothing to be found on leaves by the calendar: too cold to feed from a week ago to the horizon, or all but gone to rest or died out.
  bool quiet = false;
  Date yesterday;
  std::vector<std::vector<double>> past;  ///< [days back from yesterday][stage] the same at the end of each day that is kept

  /// As `present` at the end of an earlier day; of the oldest kept when it is older still, empty when nothing is known.
  const std::vector<double>& present_on(Date day) const;
  /// Share of those present now that belong to any of `stages`.
  double present_in(const std::vector<std::size_t>& stages) const;
};

/// Whether a crop that it eats stands in the garden.
bool has_host(const BriefRequest& request, const pest::Dossier& dossier, Date today);

/// When it was first counted here in that year.
std::optional<Date> first_find(const BriefRequest& request, const pest::Dossier& dossier, int year);

/// `found`: its first find this year, which starts what no calendar can (phenology::local_seasons). `cold`: the winter before was colder
/// than it bears (phenology::winter_kill): without a find it is then unknown, `timing.winter_kill`. `memory`: days back that are kept.
PestTiming timing(const pest::Dossier& dossier, const Air& air, std::optional<Date> found, std::optional<phenology::WinterCold> cold = {},
                  int memory = memory_days);

}  // namespace leafturn::decision
