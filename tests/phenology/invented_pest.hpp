#pragma once
/// An invented pest and simple weather for the season's tests.

#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "core/pest/dossier.hpp"
#include "core/phenology/cohort.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::test {

inline Temperature celsius(double v) { return Temperature::celsius(v); }

inline pest::Stage stage(const std::string& key, pest::StageGroup group, double lower, double constant, double spread) {
  pest::Stage s;
  s.key = key;
  s.group = group;
  pest::LinearRate rate;
  rate.lower.value = celsius(lower);
  rate.constant.value = DegreeDays::celsius_days(constant);
  s.rate.model = rate;
  s.spread.value = spread;
  return s;
}

/// Egg, larva, pupa, adults; 60 + 150 + 100 + 40 + 120 C d above 10 °C.
inline pest::Dossier invented_pest() {
  using pest::StageGroup;
  pest::Dossier d;
  d.id = "invented";
  d.stages = {stage("egg", StageGroup::egg, 10, 60, 0.2),         stage("larva-1", StageGroup::larva, 10, 70, 0.25),
              stage("larva-2", StageGroup::larva, 10, 80, 0.25),  stage("pupa", StageGroup::pupa, 10, 100, 0.15),
              stage("adult-new", StageGroup::adult, 10, 40, 0.3), stage("adult-laying", StageGroup::adult, 10, 120, 0.4)};
  d.biofix.stage = "adult-laying";
  d.biofix.kind = pest::Biofix::Kind::date;
  d.biofix.month = 4;
  d.biofix.day = 10;
  return d;
}

inline Date day_of(int year, int month, int day) { return Date::from_ymd(year, month, day).value(); }

/// `temperature` is asked with days since `first`, at the middle of each hour.
template <class F>
weather::HourlySeries hourly_weather(Date first, int days, F temperature) {
  weather::HourlySeries series{first, {}};
  for (int d = 0; d < days; ++d) {
    weather::HourlyDay day;
    for (std::size_t h = 0; h < 24; ++h) day[h] = celsius(temperature(d + (static_cast<double>(h) + 0.5) / 24.0));
    series.days.emplace_back(day);
  }
  return series;
}

inline weather::HourlySeries steady_weather(Date first, int days, double t) {
  return hourly_weather(first, days, [t](double) { return t; });
}

/// A temperate year: mean 9 °C, 26 °C in mid-July by day, daily wave of ±6 °C.
inline weather::HourlySeries temperate_year(int year, double warmer = 0.0) {
  return hourly_weather(day_of(year, 1, 1), 365, [warmer](double t) {
    return 9.0 + warmer - 13.0 * std::cos(2.0 * M_PI * (t - 20.0) / 365.0) - 6.0 * std::cos(2.0 * M_PI * (t - 3.0 / 24.0));
  });
}

inline double days_since(Date start, const CivilTime& t) { return (t.date - start).count + t.second_of_day / 86400.0; }

inline const weather::Site milwaukee{Angle::degrees(43.0), Angle::degrees(-87.9), Length::metres(200)};

inline phenology::Season run(const pest::Dossier& dossier, const weather::HourlySeries& air, std::optional<Date> biofix = {},
                             std::optional<Date> last = {}) {
  phenology::SeasonRequest request;
  request.dossier = &dossier;
  request.air = &air;
  request.site = milwaukee;
  request.year = air.first.year();
  request.biofix = biofix;
  request.last = last;
  return phenology::season(request);
}

inline const phenology::StageEntry& entry(const phenology::Generation& g, std::size_t stage) {
  for (const phenology::StageEntry& e : g.stages)
    if (e.stage == stage) return e;
  throw std::runtime_error("no such stage");
}

}  // namespace leafturn::test
