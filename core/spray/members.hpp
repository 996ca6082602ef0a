#pragma once
/// Equally likely ways the next hours may go.

#include <cstdint>

#include "core/weather/readings.hpp"

namespace leafturn::spray {

/// Where no forecast tells the hours: the same station's own hours after other days of about the same time of year, those whose last 24
/// hours were most like these (mean squared difference of temperature in 4 K, wind in 2 m/s and humidity in 20 %). No hour of the record at
/// or after `issued` is used, but with `anywhere`, where the days from `apart` days before to `apart` days after are left out instead: for
/// checking, where one year is all there is.
struct AnaloguesRequest {
  const weather::HourlyReadings* record = nullptr;
  Instant issued;
  int hours = 72;       ///< ahead; members also hold three hours before and a day after
  int reach_days = 30;  ///< of the year, to either side
  std::size_t most = 30;
  bool anywhere = false;
  int apart = 5;
};
std::vector<weather::HourlyReadings> analogues(const AnaloguesRequest& request);

/// How wrong a forecast may be. From memory and by convention: what public forecasts of the first three days usually miss by. No archive of
/// forecasts was at hand to check it, and docs/results/windows.json doesn't.
struct ForecastError {
  double temperature_k = 1.2, temperature_k_a_day = 0.35;  ///< standard deviation at the start, and what a day of lead adds
  double dew_point_k = 1.2, dew_point_k_a_day = 0.35;
  double wind_log = 0.25, wind_log_a_day = 0.05;    ///< of the wind's logarithm
  double rain_hours = 1.5, rain_hours_a_day = 1.0;  ///< of when rain comes
  double rain_missed_a_day = 0.08;                  ///< chance of two wet hours in a day told dry
  double rain_fails = 0.15;                         ///< chance that none of the rain told falls
  double lasting_hours = 12.0;                      ///< after which a third of an error is left
};

/// The forecast with errors drawn so, each lasting from hour to hour. What it doesn't tell, no member tells.
std::vector<weather::HourlyReadings> dressed(const weather::HourlyReadings& forecast, Instant from, std::size_t members, std::uint64_t seed,
                                             const ForecastError& error = {});

}  // namespace leafturn::spray
