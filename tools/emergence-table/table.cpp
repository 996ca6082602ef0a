#include "tools/emergence-table/table.hpp"

#include <algorithm>
#include <cmath>

#include "core/weather/soil.hpp"

namespace leafturn::emergence {
namespace {

const std::vector<Event>& all() {
  static const std::string collier = "Collier & Finch 1985, Bull. Entomol. Res. (seen)";
  static const std::string seedcorn = "South Dakota State Univ.; Funderburk, Higley & Pedigo 1984 (seen)";
  static const std::string tauber = "Tauber et al. 1988, Ann. Entomol. Soc. Am. 81:764–773 (seen)";
  static const std::string apple = "Apple, Wisconsin (memory); cap by Iowa State Univ. 1999 (seen)";
  static const std::string given = "as published";
  static const std::string chosen = "chosen here";
  static const double f = 1.0 / 1.8;
  static const std::vector<Event> list{
      {"maggot-air", "cabbage maggot, half of the spring flies out, by air", collier, 4.0, {}, 230.0, 2, 1, given, false},
      {"maggot-soil", "the same, by soil", collier, 4.0, {}, 179.0, 2, 1, given, true},
      {"maggot-flight",
       "cabbage maggot, first flight",
       "Eckenrode & Chapman 1972, Ann. Entomol. Soc. Am. 65:151–156 (memory)",
       43.0 * f - 32.0 * f,
       {},
       300.0 * f,
       1,
       1,
       chosen,
       false},
      {"seedcorn-1", "seedcorn maggot, peak of the overwintered flies", seedcorn, 3.9, 28.9, 200.0, 1, 1, given, false},
      {"seedcorn-2", "seedcorn maggot, second peak", seedcorn, 3.9, 28.9, 600.0, 1, 1, given, false},
      {"seedcorn-3", "seedcorn maggot, third peak", seedcorn, 3.9, 28.9, 1000.0, 1, 1, given, false},
      {"potato-beetle-135", "Colorado potato beetle, first eggs, Long Island sum", tauber, 12.0, {}, 135.0, 3, 1, chosen, false},
      {"potato-beetle-213", "Colorado potato beetle, first eggs, upstate New York sum", tauber, 12.0, {}, 213.0, 3, 1, chosen, false},
      {"vine-borer",
       "squash vine borer, moths emerge",
       "South Dakota State Univ. 2021 (seen)",
       10.0,
       {},
       1000.0 * f,
       1,
       1,
       "'from spring' as published; the day chosen here",
       false},
      {"corn-borer-moth", "European corn borer, first spring moth", apple, 10.0, 30.0, 374.0 * f, 1, 1,
       "'from spring'; the day chosen here", false},
      {"corn-borer-egg", "European corn borer, first eggs", apple, 10.0, 30.0, 450.0 * f, 1, 1, "'from spring'; the day chosen here",
       false},
  };
  return list;
}

std::optional<Date> reached_in_air(const Event& event, const Station& station, Date from, Date to) {
  const phenology::Thresholds thresholds{Temperature::celsius(event.lower_c),
                                         event.cap_c ? std::optional{Temperature::celsius(*event.cap_c)} : std::nullopt};
  const auto table = phenology::accumulate(station.daily, from, to, phenology::Method::double_sine,
                                           event.cap_c ? phenology::Cutoff::horizontal : phenology::Cutoff::none, thresholds);
  if (!table) return {};
  Date expected = from;
  for (const auto& row : table->rows) {
    if (row.date != expected || !row.degree_days) return {};
    if (row.sum.celsius_days() >= event.sum) return row.date;
    expected = expected + Days{1};
  }
  return {};
}

std::optional<Date> reached_in_soil(const Event& event, const Station& station, Date from, Date to) {
  double sum = 0.0;
  for (Date day = from; day <= to; day = day + Days{1}) {
    const weather::HourlyDay* hours = station.soil.find(day);
    if (!hours) return {};
    for (const Temperature t : *hours) sum += std::max(0.0, t.celsius() - event.lower_c) / 24.0;
    if (sum >= event.sum) return day;
  }
  return {};
}

}  // namespace

std::span<const Event> events() { return all(); }

Station station(const weather::DailySeries& recorded, const weather::Site& site) {
  Station out;
  out.daily = weather::fill_gaps(recorded);
  out.soil = weather::soil_at_5cm(weather::hourly(out.daily, site));
  return out;
}

std::optional<Date> reached(const Event& event, const Station& station, int year) {
  const auto from = Date::from_ymd(year, event.month, event.day);
  const auto to = Date::from_ymd(year, 12, 31);
  if (!from || !to) return {};
  return event.in_soil ? reached_in_soil(event, station, *from, *to) : reached_in_air(event, station, *from, *to);
}

Summary summarise(const Event& event, const Station& station, int first_year, int last_year) {
  Summary out;
  std::vector<double> days;
  for (int year = first_year; year <= last_year; ++year) {
    const auto date = reached(event, station, year);
    if (!date) {
      out.missing.push_back(year);
      continue;
    }
    const int day = Date::from_ymd(2023, date->month(), std::min(date->day(), date->month() == 2 ? 28 : 31))->day_of_year();
    if (out.years.empty() || day < out.earliest) {
      out.earliest = day;
      out.earliest_year = year;
    }
    if (out.years.empty() || day > out.latest) {
      out.latest = day;
      out.latest_year = year;
    }
    out.years.push_back(year);
    days.push_back(day);
  }
  for (const double d : days) out.mean += d / static_cast<double>(days.size());
  for (const double d : days) out.sd += (d - out.mean) * (d - out.mean);
  if (days.size() > 1) out.sd = std::sqrt(out.sd / static_cast<double>(days.size() - 1));
  return out;
}

}  // namespace leafturn::emergence
