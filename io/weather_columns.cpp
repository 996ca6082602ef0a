#include "io/weather_columns.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <string_view>
#include <utility>

namespace leafturn::io {
namespace {

// `TMAX (°F)` → `tmax_f`: lower case, every run of blanks, brackets, dots and dashes one underscore, degree signs gone.
std::string plain_name(std::string_view header) {
  std::string plain;
  for (std::size_t i = 0; i < header.size(); ++i) {
    const char c = header[i];
    if (c == '\xC2' && i + 1 < header.size() && header[i + 1] == '\xB0') {
      ++i;
      continue;
    }
    if (c >= 'A' && c <= 'Z')
      plain += static_cast<char>(c - 'A' + 'a');
    else if (std::string_view{" ()[]._-"}.find(c) == std::string_view::npos)
      plain += c;
    else if (!plain.empty() && plain.back() != '_')
      plain += '_';
  }
  if (plain.ends_with('_')) plain.pop_back();
  return plain;
}

template <class Unit>
struct Ending {
  std::string_view text;
  Unit unit;
};

constexpr std::array<Ending<TemperatureUnit>, 8> temperature_endings{{{"c", TemperatureUnit::celsius},
                                                                      {"celsius", TemperatureUnit::celsius},
                                                                      {"degc", TemperatureUnit::celsius},
                                                                      {"deg_c", TemperatureUnit::celsius},
                                                                      {"f", TemperatureUnit::fahrenheit},
                                                                      {"fahrenheit", TemperatureUnit::fahrenheit},
                                                                      {"degf", TemperatureUnit::fahrenheit},
                                                                      {"deg_f", TemperatureUnit::fahrenheit}}};
constexpr std::array<Ending<RainUnit>, 5> rain_endings{{{"mm", RainUnit::millimetres},
                                                        {"cm", RainUnit::centimetres},
                                                        {"in", RainUnit::inches},
                                                        {"inch", RainUnit::inches},
                                                        {"inches", RainUnit::inches}}};

constexpr std::array<Ending<WindUnit>, 14> wind_endings{{{"mph", WindUnit::miles_per_hour},
                                                         {"kmh", WindUnit::kilometres_per_hour},
                                                         {"km_h", WindUnit::kilometres_per_hour},
                                                         {"km/h", WindUnit::kilometres_per_hour},
                                                         {"kph", WindUnit::kilometres_per_hour},
                                                         {"ms", WindUnit::metres_per_second},
                                                         {"m_s", WindUnit::metres_per_second},
                                                         {"m/s", WindUnit::metres_per_second},
                                                         {"mps", WindUnit::metres_per_second},
                                                         {"kt", WindUnit::knots},
                                                         {"kts", WindUnit::knots},
                                                         {"kn", WindUnit::knots},
                                                         {"knot", WindUnit::knots},
                                                         {"knots", WindUnit::knots}}};
constexpr std::array<Ending<ShareUnit>, 3> share_endings{
    {{"%", ShareUnit::percent}, {"pct", ShareUnit::percent}, {"percent", ShareUnit::percent}}};
constexpr std::array<Ending<AngleUnit>, 2> angle_endings{{{"deg", AngleUnit::degrees}, {"degrees", AngleUnit::degrees}}};
constexpr std::array<Ending<PressureUnit>, 6> pressure_endings{{{"hpa", PressureUnit::hectopascals},
                                                                {"mbar", PressureUnit::hectopascals},
                                                                {"mb", PressureUnit::hectopascals},
                                                                {"kpa", PressureUnit::kilopascals},
                                                                {"inhg", PressureUnit::inches_of_mercury},
                                                                {"in_hg", PressureUnit::inches_of_mercury}}};

constexpr std::array<std::string_view, 6> maximum_names{"tmax", "t_max", "temp_max", "max_temp", "temperature_max", "max_temperature"};
constexpr std::array<std::string_view, 6> minimum_names{"tmin", "t_min", "temp_min", "min_temp", "temperature_min", "min_temperature"};
constexpr std::array<std::string_view, 3> reading_names{"temp", "temperature", "air_temp"};
constexpr std::array<std::string_view, 5> rain_names{"prcp", "precip", "precipitation", "rain", "rainfall"};
constexpr std::array<std::string_view, 4> dew_point_names{"dewp", "dew_point", "dewpoint", "dew_point_temperature"};
constexpr std::array<std::string_view, 4> humidity_names{"humid", "humidity", "relative_humidity", "rh"};
constexpr std::array<std::string_view, 3> wind_names{"wind_speed", "windspeed", "wind"};
constexpr std::array<std::string_view, 4> gust_names{"wind_gust", "wind_gusts", "gust", "gusts"};
constexpr std::array<std::string_view, 3> direction_names{"wind_dir", "wind_direction", "wind_from"};
constexpr std::array<std::string_view, 3> pressure_names{"pressure", "air_pressure", "sea_level_pressure"};
constexpr std::array<std::string_view, 2> time_names{"time_hour", "time"};
constexpr std::array<std::string_view, 5> station_names{"station", "station_id", "location", "site", "origin"};

template <class Unit>
struct Candidate {
  std::size_t index = 0;
  std::string name;
  std::optional<Unit> written;
};

// Columns called one of `names`, alone or with a unit's ending.
template <class Unit>
std::vector<Candidate<Unit>> candidates(const CsvScanner& file, std::span<const std::string_view> names,
                                        std::span<const Ending<Unit>> endings) {
  std::vector<Candidate<Unit>> found;
  for (std::size_t i = 0; i < file.header().size(); ++i) {
    const std::string plain = plain_name(file.header()[i]);
    for (const std::string_view name : names) {
      if (plain == name) found.push_back({i, file.header()[i], std::nullopt});
      if (!plain.starts_with(name) || plain.size() < name.size() + 2 || plain[name.size()] != '_') continue;
      const std::string_view ending = std::string_view{plain}.substr(name.size() + 1);
      const auto known = std::find_if(endings.begin(), endings.end(), [&](const auto& e) { return e.text == ending; });
      if (known != endings.end()) found.push_back({i, file.header()[i], known->unit});
    }
  }
  return found;
}

// Best first: with a unit from the user, the column that is written in it, then one without; else one that says its unit.
template <class Unit>
void best_first(std::vector<Candidate<Unit>>& found, std::optional<Unit> said) {
  const auto rank = [&](const Candidate<Unit>& c) {
    if (said) return c.written == said ? 0 : (c.written ? 2 : 1);
    return c.written ? 0 : 1;
  };
  std::stable_sort(found.begin(), found.end(), [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
}

template <class Unit>
void note_the_others(const std::vector<Candidate<Unit>>& found, std::vector<Reason>& notes) {
  for (std::size_t i = 1; i < found.size(); ++i)
    notes.push_back({"weather.column_ignored", {{"column", found[i].name}, {"used", found.front().name}}});
}

std::string listed(const std::vector<std::string>& header) {
  std::string text;
  for (const std::string& name : header) {
    if (!text.empty()) text += ", ";
    if (text.size() + name.size() > 200) return text + "…";
    text += name;
  }
  return text;
}

std::optional<std::size_t> first_of(const CsvScanner& file, std::span<const std::string_view> names) {
  for (const std::string_view name : names)
    if (const auto column = file.column(name)) return column;
  return std::nullopt;
}

struct Finder {
  const CsvScanner& file;
  const std::string& name;
  std::optional<TemperatureUnit> temperature;
  std::optional<RainUnit> rain;
  std::vector<Reason>& notes;

  tl::unexpected<Error> no_column(const char* wanted) const {
    return fail("weather.no_column", {name, file.header_line(), wanted},
                {{"wanted", std::string(wanted)}, {"found", listed(file.header())}});
  }

  Result<MeasuredColumn<TemperatureUnit>> extreme(std::span<const std::string_view> names, const char* wanted) const {
    auto found = candidates<TemperatureUnit>(file, names, temperature_endings);
    if (found.empty()) return no_column(wanted);
    best_first(found, temperature);
    const auto& best = found.front();
    if (!temperature && !best.written) return fail("weather.units_needed", {name, file.header_line(), best.name}, {{"column", best.name}});
    if (temperature && best.written && best.written != temperature) notes.push_back({"weather.units_overridden", {{"column", best.name}}});
    note_the_others(found, notes);
    return MeasuredColumn<TemperatureUnit>{best.index, best.name, temperature.value_or(best.written.value_or(TemperatureUnit::celsius))};
  }

  void find_rain(WeatherColumns& columns) const {
    auto found = candidates<RainUnit>(file, rain_names, rain_endings);
    if (found.empty()) return;
    best_first(found, rain);
    const auto& best = found.front();
    if (!rain && !best.written) {
      notes.push_back({"weather.rain_unit_unknown", {{"column", best.name}}});
      return;
    }
    if (rain && best.written && best.written != rain) notes.push_back({"weather.units_overridden", {{"column", best.name}}});
    note_the_others(found, notes);
    columns.rain = MeasuredColumn<RainUnit>{best.index, best.name, rain ? *rain : *best.written};
    if (!rain && found.size() > 1 && !found[1].written) columns.rain_beside = found[1].index;
  }
};

// What the user's word says of the quantities beside temperature and rain: `us` and `si` say all, the others nothing.
struct BesideUnits {
  std::optional<WindUnit> wind;
  std::optional<ShareUnit> share;
  std::optional<AngleUnit> angle;
  std::optional<PressureUnit> pressure;
};

BesideUnits beside_units_of(std::optional<UnitsChoice> units) {
  if (units == UnitsChoice::us) return {WindUnit::miles_per_hour, ShareUnit::percent, AngleUnit::degrees, PressureUnit::hectopascals};
  if (units == UnitsChoice::si) return {WindUnit::metres_per_second, ShareUnit::percent, AngleUnit::degrees, PressureUnit::hectopascals};
  return {};
}

// A column beside the temperature: left out with a note where nothing says its unit.
template <class Unit>
std::optional<MeasuredColumn<Unit>> beside(const CsvScanner& file, std::span<const std::string_view> names,
                                           std::span<const Ending<Unit>> endings, std::optional<Unit> said, std::vector<Reason>& notes) {
  auto found = candidates<Unit>(file, names, endings);
  if (found.empty()) return std::nullopt;
  best_first(found, said);
  const auto& best = found.front();
  if (!said && !best.written) {
    notes.push_back({"weather.unit_unknown", {{"column", best.name}}});
    return std::nullopt;
  }
  if (said && best.written && best.written != said) notes.push_back({"weather.units_overridden", {{"column", best.name}}});
  note_the_others(found, notes);
  return MeasuredColumn<Unit>{best.index, best.name, said ? *said : *best.written};
}

void find_beside(const CsvScanner& file, std::optional<UnitsChoice> units, WeatherColumns& columns, std::vector<Reason>& notes) {
  const BesideUnits said = beside_units_of(units);
  const auto temperature = units ? std::optional{temperature_unit_of(*units)} : std::nullopt;
  columns.dew_point = beside<TemperatureUnit>(file, dew_point_names, temperature_endings, temperature, notes);
  columns.humidity = beside<ShareUnit>(file, humidity_names, share_endings, said.share, notes);
  columns.wind = beside<WindUnit>(file, wind_names, wind_endings, said.wind, notes);
  columns.gust = beside<WindUnit>(file, gust_names, wind_endings, said.wind, notes);
  columns.wind_from = beside<AngleUnit>(file, direction_names, angle_endings, said.angle, notes);
  columns.pressure = beside<PressureUnit>(file, pressure_names, pressure_endings, said.pressure, notes);
}

}  // namespace

TemperatureUnit temperature_unit_of(UnitsChoice units) {
  switch (units) {
    case UnitsChoice::fahrenheit:
    case UnitsChoice::us:
      return TemperatureUnit::fahrenheit;
    case UnitsChoice::tenths:
      return TemperatureUnit::tenths_celsius;
    case UnitsChoice::celsius:
    case UnitsChoice::si:
      break;
  }
  return TemperatureUnit::celsius;
}

std::optional<RainUnit> rain_unit_of(UnitsChoice units) {
  switch (units) {
    case UnitsChoice::us:
      return RainUnit::inches;
    case UnitsChoice::si:
      return RainUnit::millimetres;
    case UnitsChoice::tenths:
      return RainUnit::tenths_millimetre;
    case UnitsChoice::fahrenheit:
    case UnitsChoice::celsius:
      break;
  }
  return std::nullopt;
}

Temperature temperature_of(double value, TemperatureUnit unit) {
  switch (unit) {
    case TemperatureUnit::celsius:
      return Temperature::celsius(value);
    case TemperatureUnit::fahrenheit:
      return Temperature::fahrenheit(value);
    case TemperatureUnit::tenths_celsius:
      return Temperature::celsius(value / 10.0);
  }
  return {};
}

Length rain_of(double value, RainUnit unit) {
  switch (unit) {
    case RainUnit::millimetres:
      return Length::millimetres(value);
    case RainUnit::centimetres:
      return Length::centimetres(value);
    case RainUnit::inches:
      return Length::inches(value);
    case RainUnit::tenths_millimetre:
      return Length::millimetres(value / 10.0);
  }
  return {};
}

Speed speed_of(double value, WindUnit unit) {
  switch (unit) {
    case WindUnit::kilometres_per_hour:
      return Speed::kilometres_per_hour(value);
    case WindUnit::metres_per_second:
      return Speed::metres_per_second(value);
    case WindUnit::miles_per_hour:
      return Speed::miles_per_hour(value);
    case WindUnit::knots:
      return Speed::kilometres_per_hour(value * 1.852);  // exact: a nautical mile is 1852 m
  }
  return {};
}

Pressure pressure_of(double value, PressureUnit unit) {
  switch (unit) {
    case PressureUnit::hectopascals:
      return Pressure::hectopascals(value);
    case PressureUnit::kilopascals:
      return Pressure::kilopascals(value);
    case PressureUnit::inches_of_mercury:
      return Pressure::inches_of_mercury(value);
  }
  return {};
}

Result<WeatherColumns> find_weather_columns(const CsvScanner& file, const std::string& name, std::optional<UnitsChoice> units,
                                            std::vector<Reason>& notes) {
  Finder finder{file, name, {}, {}, notes};
  if (units) {
    finder.temperature = temperature_unit_of(*units);
    finder.rain = rain_unit_of(*units);
  }

  WeatherColumns columns;
  const auto date = file.column("date");
  const auto time = first_of(file, time_names);
  const bool has_maximum = !candidates<TemperatureUnit>(file, maximum_names, temperature_endings).empty();
  columns.hourly = time && !has_maximum;
  if (!columns.hourly && !date) return finder.no_column("date");
  columns.time = columns.hourly ? *time : *date;
  columns.time_name = file.header()[columns.time];
  auto max = columns.hourly ? finder.extreme(reading_names, "temp") : finder.extreme(maximum_names, "tmax");
  if (!max) return fail(max.error());
  columns.max = columns.min = *max;
  if (!columns.hourly) {
    auto min = finder.extreme(minimum_names, "tmin");
    if (!min) return fail(min.error());
    columns.min = *min;
  }
  finder.find_rain(columns);
  if (columns.hourly) find_beside(file, units, columns, notes);
  columns.issued = file.column("issued");
  columns.station = first_of(file, station_names);
  return columns;
}

}  // namespace leafturn::io
