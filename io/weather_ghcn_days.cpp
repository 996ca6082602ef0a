#include "io/weather_ghcn_days.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

#include "io/csv.hpp"

namespace leafturn::io {
namespace {

// Whoever reads the thermometers before noon finds yesterday afternoon's maximum in them.
constexpr int noon = 12 * 60;

}  // namespace

GhcnDays::GhcnDays(std::string name, const WeatherReading& reading, WeatherKind kind, GhcnScale scale)
    : name_{std::move(name)}, asked_station_{reading.station}, told_units_{reading.units.has_value()}, scale_{scale} {
  contents_.kind = kind;
}

Result<bool> GhcnDays::station(std::string_view id, int line, const std::string& field) {
  id = without_blanks(id);
  if (asked_station_ && id != *asked_station_) return false;
  if (!any_station_) contents_.station.id = id;
  any_station_ = true;
  if (id == contents_.station.id) return true;
  return fail("weather.several_stations", {name_, line, field}, {{"first", contents_.station.id}, {"other", std::string(id)}});
}

Status GhcnDays::take(const GhcnReading& reading) {
  Slot& slot = days_[reading.date];
  slot.day.date = reading.date;
  const std::string element(reading.element);
  int& line = element == "TMAX" ? slot.max_line : element == "TMIN" ? slot.min_line : slot.rain_line;
  if (line != 0)
    return fail("weather.duplicate_reading", {name_, reading.line, element},
                {{"element", element}, {"date", reading.date}, {"first_line", std::int64_t{line}}});
  line = reading.line;
  if (!reading.value) return {};
  slot.recorded = true;
  if (reading.quality != ' ') {
    contents_.flagged.push_back({reading.date, element, reading.quality});
    return {};
  }
  if (element == "PRCP") {
    if (reading.measurement == 'P') {
      ++presumed_dry_;
      return {};
    }
    if (scale_.rain)
      slot.day.rain = rain_of(*reading.value, *scale_.rain);
    else
      ++rain_without_unit_;
  } else {
    (element == "TMAX" ? slot.day.max : slot.day.min) = temperature_of(*reading.value, scale_.temperature);
    if (element == "TMAX" && reading.observed) {
      ++observed_;
      if (*reading.observed > 0 && *reading.observed < noon) {
        if (morning_++ == 0) first_morning_ = last_morning_ = reading.date;
        first_morning_ = std::min(first_morning_, reading.date);
        last_morning_ = std::max(last_morning_, reading.date);
      }
    }
  }
  any_complete_ = any_complete_ || slot.day.complete();
  Status possible = weather::check_day(slot.day);
  if (possible) return {};
  Error error = std::move(possible.error());
  error.where = {name_, reading.line, element};
  return fail(std::move(error));
}

void GhcnDays::note_what_was_seen() {
  auto& notes = contents_.notes;
  if (!contents_.flagged.empty()) notes.push_back({"weather.flagged", {{"readings", static_cast<std::int64_t>(contents_.flagged.size())}}});
  if (morning_ > 0)
    notes.push_back({"weather.morning_observer",
                     {{"days", morning_}, {"of", observed_}, {"first", first_morning_.iso()}, {"last", last_morning_.iso()}}});
  if (presumed_dry_ > 0) notes.push_back({"weather.presumed_dry", {{"days", presumed_dry_}}});
  if (rain_without_unit_ > 0) notes.push_back({"weather.rain_unit_unknown", {{"column", std::string("PRCP")}}});
  if (told_units_ && contents_.kind != WeatherKind::ghcn_table) notes.push_back({"weather.units_of_form", {}});
}

Result<WeatherContents> GhcnDays::finish() {
  if (!any_station_ && asked_station_) return fail("weather.no_such_station", {name_, 0, "station"}, {{"station", *asked_station_}});
  if (days_.empty()) return fail("weather.empty", {name_, 0, {}});
  if (!any_complete_) return fail("weather.no_readings", {name_, 0, {}}, {{"max", std::string("TMAX")}, {"min", std::string("TMIN")}});
  note_what_was_seen();
  // A line holds whole months: its days before and after the record don't belong to it.
  const auto recorded = [](const auto& entry) { return entry.second.recorded; };
  const auto first = std::find_if(days_.begin(), days_.end(), recorded);
  const auto end = std::find_if(days_.rbegin(), days_.rend(), recorded).base();
  std::vector<weather::Day> days;
  days.reserve(days_.size());
  std::transform(first, end, std::back_inserter(days), [](const auto& entry) { return entry.second.day; });
  auto series = weather::DailySeries::from_days(std::move(days));
  if (!series) {
    Error error = std::move(series.error());
    error.where.file = name_;
    return fail(std::move(error));
  }
  contents_.series = std::move(*series);
  return std::move(contents_);
}

}  // namespace leafturn::io
