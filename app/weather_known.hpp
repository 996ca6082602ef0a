#pragma once
/// A garden's weather as it could be known at a time: what was recorded before, what was forecast, and how past years went on.

#include <vector>

#include "core/decision/brief.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::app {

struct WeatherFile {
  weather::DailySeries series;
  std::optional<Date> issued;  ///< a forecast
};

/// Recorded files are joined (a later file replaces days it shares with an earlier one) and cut before `today`. Each member goes on from
/// there: the latest forecast issued by `today` where it has a day, and where it has none (past its end, before its beginning, or in a hole
/// between the record and today) the same calendar day of one earlier year, brought to where this year stands at the end of what is known
/// (weather::past_years) unless it fills a hole. Without such years the last fortnight stands in, begun on seven
/// different days.
///
/// Members reach `days_ahead` days past `today`.
decision::WeatherKnown weather_known(const std::vector<WeatherFile>& files, Date today, int days_ahead = decision::horizon + 2);

}  // namespace leafturn::app
