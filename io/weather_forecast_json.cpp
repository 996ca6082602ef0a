#include "io/weather_forecast_json.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <type_traits>
#include <utility>
#include <vector>

#include "io/csv.hpp"
#include "io/weather_columns.hpp"
#include "io/weather_hours.hpp"

namespace leafturn::io {
namespace {

using nlohmann::json;

constexpr std::int64_t longest_interval_hours = 14 * 24;

std::string in(const std::string& path, std::size_t index) { return path + "[" + std::to_string(index) + "]"; }

/// `PT3H`, `P1D`, `P1DT6H`: whole hours; nothing for anything else.
std::optional<std::int64_t> hours_of(std::string_view text) {
  if (!text.starts_with('P') || text.size() < 3) return std::nullopt;
  text.remove_prefix(1);
  std::int64_t hours = 0;
  bool clock = false, any = false;
  while (!text.empty()) {
    if (text.front() == 'T' && !clock) {
      clock = true;
      text.remove_prefix(1);
      continue;
    }
    int value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    const auto length = static_cast<std::size_t>(end - text.data());
    if (error != std::errc{} || value < 0 || value > 1000 || length >= text.size()) return std::nullopt;
    const char unit = text[length];
    if (unit == 'D' && !clock)
      hours += std::int64_t{value} * 24;
    else if (unit == 'H' && clock)
      hours += value;
    else
      return std::nullopt;
    any = true;
    text.remove_prefix(length + 1);
  }
  return any && hours > 0 && hours <= longest_interval_hours ? std::optional{hours} : std::nullopt;
}

template <class Unit>
struct Named {
  std::string_view text;
  Unit unit;
};
constexpr std::array<Named<TemperatureUnit>, 6> temperature_units{{{"wmoUnit:degC", TemperatureUnit::celsius},
                                                                   {"wmoUnit:degF", TemperatureUnit::fahrenheit},
                                                                   {"°C", TemperatureUnit::celsius},
                                                                   {"°F", TemperatureUnit::fahrenheit},
                                                                   {"degC", TemperatureUnit::celsius},
                                                                   {"degF", TemperatureUnit::fahrenheit}}};
constexpr std::array<Named<RainUnit>, 5> rain_units{{{"wmoUnit:mm", RainUnit::millimetres},
                                                     {"mm", RainUnit::millimetres},
                                                     {"cm", RainUnit::centimetres},
                                                     {"inch", RainUnit::inches},
                                                     {"in", RainUnit::inches}}};

constexpr std::array<Named<WindUnit>, 5> wind_units{{{"wmoUnit:km_h-1", WindUnit::kilometres_per_hour},
                                                     {"wmoUnit:m_s-1", WindUnit::metres_per_second},
                                                     {"km/h", WindUnit::kilometres_per_hour},
                                                     {"m/s", WindUnit::metres_per_second},
                                                     {"mph", WindUnit::miles_per_hour}}};
constexpr std::array<Named<ShareUnit>, 2> share_units{{{"wmoUnit:percent", ShareUnit::percent}, {"%", ShareUnit::percent}}};
constexpr std::array<Named<AngleUnit>, 2> angle_units{{{"wmoUnit:degree_(angle)", AngleUnit::degrees}, {"°", AngleUnit::degrees}}};

// What each quantity of a forecast sets in an hour.
using Hour = weather::HourlyReading;
void set_temperature(Hour& hour, double value, TemperatureUnit unit) { hour.temperature = temperature_of(value, unit); }
void set_dew_point(Hour& hour, double value, TemperatureUnit unit) { hour.dew_point = temperature_of(value, unit); }
void set_rain(Hour& hour, double value, RainUnit unit) { hour.rain = rain_of(value, unit); }
void set_wind(Hour& hour, double value, WindUnit unit) { hour.wind = speed_of(value, unit); }
void set_gust(Hour& hour, double value, WindUnit unit) { hour.gust = speed_of(value, unit); }
void set_wind_from(Hour& hour, double value, AngleUnit) { hour.wind_from = Angle::degrees(value); }
void set_humidity(Hour& hour, double value, ShareUnit) { hour.humidity = value / 100.0; }
void set_cloud(Hour& hour, double value, ShareUnit) { hour.cloud = value / 100.0; }

class Forecast {
 public:
  Forecast(const json& document, std::string name, const WeatherReading& reading)
      : document_{document}, name_{std::move(name)}, reading_{reading} {}

  Result<WeatherContents> read() {
    if (document_.is_object() && document_.contains("properties")) return grid();
    if (document_.is_object() && document_.contains("hourly")) return arrays();
    return fail("weather.forecast_form", {name_, 0, {}});
  }

 private:
  Where at(const std::string& field) const { return {name_, 0, field}; }
  tl::unexpected<Error> no_field(const std::string& field, const char* expected) const {
    return fail("weather.forecast_field", at(field), {{"expected", Term{std::string("weather.json.") + expected}}});
  }

  template <class Unit, std::size_t N>
  Result<Unit> unit(const json& value, const std::string& field, const std::array<Named<Unit>, N>& known) const {
    if (!value.is_string()) return no_field(field, "text");
    const auto& text = value.get_ref<const std::string&>();
    for (const auto& one : known)
      if (one.text == text) return one.unit;
    return fail("weather.forecast_unit", at(field), {{"unit", text}});
  }

  Status possible(const Hour& hour, const std::string& field) const {
    weather::Day day;
    day.date = Zone::fixed(offset()).civil(hour.at).date;
    day.min = day.max = hour.temperature;
    day.rain = hour.rain;
    Status ok = weather::check_day(day);
    if (ok) return {};
    Error error = std::move(ok.error());
    error.where = at(field);
    return fail(std::move(error));
  }

  std::int32_t offset() const { return reading_.offset_seconds.value_or(own_offset_.value_or(0)); }

  // ---- grid ----

  Result<WeatherContents> grid() {
    contents_.kind = WeatherKind::forecast_grid;
    times_in_utc_ = true;
    const json& properties = document_["properties"];
    if (!properties.is_object()) return no_field("properties", "object");
    if (const Status made = update_time(properties); !made) return fail(made.error());
    grid_station(properties);
    if (const Status ok = layer(properties, "temperature", temperature_units, set_temperature, true); !ok) return fail(ok.error());
    for (const Status& ok :
         {layer(properties, "dewpoint", temperature_units, set_dew_point, false),
          layer(properties, "relativeHumidity", share_units, set_humidity, false),
          layer(properties, "windSpeed", wind_units, set_wind, false), layer(properties, "windGust", wind_units, set_gust, false),
          layer(properties, "windDirection", angle_units, set_wind_from, false),
          layer(properties, "skyCover", share_units, set_cloud, false),
          layer(properties, "quantitativePrecipitation", rain_units, set_rain, false)})
      if (!ok) return fail(ok.error());
    return finish();
  }

  Status update_time(const json& properties) {
    if (!properties.contains("updateTime")) return {};
    const json& made = properties["updateTime"];
    if (!made.is_string()) return no_field("properties.updateTime", "text");
    contents_.issued_at = Instant::parse(made.get_ref<const std::string&>());
    if (!contents_.issued_at)
      return fail("weather.forecast_time", at("properties.updateTime"), {{"value", made.get_ref<const std::string&>()}});
    return {};
  }

  void grid_station(const json& properties) {
    const auto whole = [&](const char* field) -> std::string {
      const auto it = properties.find(field);
      return it != properties.end() && it->is_number_integer() ? std::to_string(it->get<std::int64_t>()) : std::string{};
    };
    if (const auto id = properties.find("gridId"); id != properties.end() && id->is_string())
      contents_.station.id = id->get<std::string>() + "/" + whole("gridX") + "," + whole("gridY");
  }

  template <class Unit, std::size_t N, class Set>
  Status layer(const json& properties, const char* called, const std::array<Named<Unit>, N>& units, const Set& set, bool needed) {
    const std::string path = std::string("properties.") + called;
    const auto found = properties.find(called);
    if (!needed && found == properties.end()) return {};
    if (found == properties.end() || !found->is_object()) return no_field(path, "object");
    const auto values = found->find("values");
    if (values == found->end() || !values->is_array()) return no_field(path + ".values", "array");
    const auto uom = found->find("uom");
    if (uom == found->end()) return no_field(path + ".uom", "text");
    const auto measured = unit(*uom, path + ".uom", units);
    if (!measured) return fail(measured.error());
    std::optional<Instant> until;
    for (std::size_t i = 0; i < values->size(); ++i) {
      const json& one = (*values)[i];
      const std::string place = in(path + ".values", i);
      if (!one.is_object()) return no_field(place, "object");
      const auto time = one.find("validTime");
      if (time == one.end() || !time->is_string()) return no_field(place + ".validTime", "text");
      const auto& text = time->template get_ref<const std::string&>();
      const std::size_t slash = text.find('/');
      const auto from = Instant::parse(std::string_view{text}.substr(0, slash));
      const auto hours = slash == std::string::npos ? std::nullopt : hours_of(std::string_view{text}.substr(slash + 1));
      if (!from || !hours) return fail("weather.forecast_time", at(place + ".validTime"), {{"value", text}});
      if (until && *from < *until) return fail("weather.forecast_overlap", at(place + ".validTime"), {{"value", text}});
      until = *from + Duration::hours(*hours);
      const auto value = one.find("value");
      if (value == one.end() || (!value->is_number() && !value->is_null())) return no_field(place + ".value", "number");
      if (value->is_null()) continue;
      // Rain is what falls in the whole time, everything else holds in each of its hours.
      const double each = value->template get<double>() / (std::is_same_v<Unit, RainUnit> ? static_cast<double>(*hours) : 1.0);
      for (std::int64_t h = 0; h < *hours; ++h) {
        Hour& hour = hour_at(*from + Duration::hours(h));
        set(hour, each, *measured);
        if (const Status ok = possible(hour, place + ".value"); !ok) return ok;
      }
    }
    return {};
  }

  // ---- arrays ----

  Result<WeatherContents> arrays() {
    contents_.kind = WeatherKind::forecast_arrays;
    const json& hourly = document_["hourly"];
    if (!hourly.is_object()) return no_field("hourly", "object");
    if (const auto own = document_.find("utc_offset_seconds"); own != document_.end()) {
      if (!own->is_number_integer() || std::abs(own->get<double>()) > 18 * 3600.0) return no_field("utc_offset_seconds", "number");
      own_offset_ = own->get<std::int32_t>();
    }
    if (const Status made = issued(); !made) return fail(made.error());
    array_station();
    if (const Status times = array_times(hourly); !times) return fail(times.error());
    if (const Status ok = array(hourly, "temperature", "_2m", temperature_units, set_temperature, true); !ok) return fail(ok.error());
    for (const Status& ok :
         {array(hourly, "dew_point", "_2m", temperature_units, set_dew_point, false),
          array(hourly, "relative_humidity", "_2m", share_units, set_humidity, false),
          array(hourly, "wind_speed", "_10m", wind_units, set_wind, false),
          array(hourly, "wind_gusts", "_10m", wind_units, set_gust, false),
          array(hourly, "wind_direction", "_10m", angle_units, set_wind_from, false),
          array(hourly, "cloud_cover", "", share_units, set_cloud, false), array(hourly, "precipitation", "", rain_units, set_rain, false)})
      if (!ok) return fail(ok.error());
    return finish();
  }

  Status issued() {
    const auto made = document_.find("issued");
    if (made == document_.end()) return {};
    if (!made->is_string()) return no_field("issued", "text");
    const auto& text = made->get_ref<const std::string&>();
    contents_.issued_at = Instant::parse(text);
    contents_.issued = Date::parse(text);
    if (!contents_.issued_at && !contents_.issued) return fail("weather.forecast_time", at("issued"), {{"value", text}});
    return {};
  }

  void array_station() {
    const auto number = [&](const char* field, double low, double high) -> std::optional<double> {
      const auto it = document_.find(field);
      if (it == document_.end() || !it->is_number()) return std::nullopt;
      const double value = it->get<double>();
      return value >= low && value <= high ? std::optional{value} : std::nullopt;
    };
    if (const auto v = number("latitude", -90, 90)) contents_.station.latitude = Angle::degrees(*v);
    if (const auto v = number("longitude", -180, 180)) contents_.station.longitude = Angle::degrees(*v);
    if (const auto v = number("elevation", -500, 9000)) contents_.station.elevation = Length::metres(*v);
  }

  Status array_times(const json& hourly) {
    const auto times = hourly.find("time");
    if (times == hourly.end() || !times->is_array() || times->empty()) return no_field("hourly.time", "array");
    const Zone own = Zone::fixed(own_offset_.value_or(reading_.offset_seconds.value_or(0)));
    times_in_utc_ = own_offset_.has_value();
    for (std::size_t i = 0; i < times->size(); ++i) {
      const json& one = (*times)[i];
      if (!one.is_string()) return no_field(in("hourly.time", i), "text");
      const auto& text = one.get_ref<const std::string&>();
      std::optional<Instant> time = Instant::parse(text);
      if (time) times_in_utc_ = true;
      if (const auto civil = CivilTime::parse(text); !time && civil && text.size() > 10) time = own.instant(*civil);
      if (!time) return fail("weather.forecast_time", at(in("hourly.time", i)), {{"value", text}});
      if (!order_.empty() && *time <= order_.back()) return fail("weather.forecast_overlap", at(in("hourly.time", i)), {{"value", text}});
      order_.push_back(*time);
      hour_at(*time);
    }
    return {};
  }

  template <class Unit, std::size_t N, class Set>
  Status array(const json& hourly, const std::string& plain, const std::string& height, const std::array<Named<Unit>, N>& units,
               const Set& set, bool needed) {
    const std::string called = hourly.contains(plain) ? plain : plain + height;
    const std::string path = "hourly." + called;
    const auto values = hourly.find(called);
    if (!needed && values == hourly.end()) return {};
    if (values == hourly.end() || !values->is_array()) return no_field(path, "array");
    if (values->size() != order_.size())
      return fail("weather.forecast_lengths", at(path),
                  {{"found", static_cast<std::int64_t>(values->size())}, {"expected", static_cast<std::int64_t>(order_.size())}});
    const std::string unit_path = "hourly_units." + called;
    const auto named = document_.find("hourly_units");
    if (named == document_.end() || !named->is_object() || !named->contains(called)) return no_field(unit_path, "text");
    const auto measured = unit((*named)[called], unit_path, units);
    if (!measured) return fail(measured.error());
    for (std::size_t i = 0; i < values->size(); ++i) {
      const json& value = (*values)[i];
      if (value.is_null()) continue;
      if (!value.is_number()) return no_field(in(path, i), "number");
      Hour& hour = hour_at(order_[i]);
      set(hour, value.template get<double>(), *measured);
      if (const Status ok = possible(hour, in(path, i)); !ok) return ok;
    }
    return {};
  }

  // ---- both ----

  Result<WeatherContents> finish() {
    const Zone zone = Zone::fixed(offset());
    if (contents_.issued_at) contents_.issued = zone.civil(*contents_.issued_at).date;
    HoursByDay by_day;
    for (const auto& [at, hour] : hours_) by_day.take(zone.civil(at), hour.temperature, hour.rain);
    auto days = by_day.days(times_in_utc_, reading_.offset_seconds ? reading_.offset_seconds : own_offset_, contents_.notes);
    if (std::none_of(days.begin(), days.end(), [](const auto& day) { return day.complete(); }))
      return fail("weather.no_whole_day", {name_, 0, {}});
    auto series = weather::DailySeries::from_days(std::move(days));
    if (!series) {
      Error error = std::move(series.error());
      error.where.file = name_;
      return fail(std::move(error));
    }
    contents_.series = std::move(*series);
    std::vector<Hour> rows;
    for (const auto& [at, hour] : hours_) rows.push_back(hour);
    auto readings = weather::HourlyReadings::from_readings(std::move(rows));
    if (!readings) {
      Error error = std::move(readings.error());
      error.where.file = name_;
      return fail(std::move(error));
    }
    contents_.hourly = std::move(*readings);
    return std::move(contents_);
  }

  Hour& hour_at(Instant at) {
    Hour& hour = hours_[at];
    hour.at = at;
    return hour;
  }

  const json& document_;
  std::string name_;
  const WeatherReading& reading_;
  WeatherContents contents_;
  std::map<Instant, Hour> hours_;
  std::vector<Instant> order_;  ///< of the arrays
  std::optional<std::int32_t> own_offset_;
  bool times_in_utc_ = false;
};

}  // namespace

bool looks_like_json(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  const std::size_t first = bytes.find_first_not_of(" \t\r\n");
  return first != std::string_view::npos && (bytes[first] == '{' || bytes[first] == '[');
}

Result<WeatherContents> read_forecast_json(std::string_view bytes, const std::string& name, const WeatherReading& reading) {
  if (const Status text = check_text_file(bytes, name); !text) return fail(text.error());
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  json document;
  try {
    document = json::parse(bytes);
  } catch (const json::parse_error& e) {
    const auto end = bytes.begin() + static_cast<std::ptrdiff_t>(std::min(e.byte, bytes.size()));
    return fail("weather.not_json", {name, 1 + static_cast<int>(std::count(bytes.begin(), end, '\n')), {}});
  } catch (const json::out_of_range&) {  // a number beyond any double
    return fail("weather.not_json", {name, 0, {}});
  }
  return Forecast(document, name, reading).read();
}

}  // namespace leafturn::io
