#include "io/quantity_text.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>

namespace leafturn::io {
namespace {

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

/// ASCII lower case; the superscript two of `ft²` is read as 2 and a degree sign is dropped.
std::string plain(std::string_view unit) {
  std::string out;
  for (std::size_t i = 0; i < unit.size(); ++i) {
    if (unit.substr(i, 2) == "²") {
      out += '2';
      ++i;
    } else if (unit.substr(i, 2) == "°") {
      ++i;
    } else {
      const char c = unit[i];
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
  }
  return out;
}

struct Parts {
  double number = 0.0;
  std::string unit;
};

/// The number in front and what stands behind it. `from_chars` would take `inf` and `nan`, so a digit must come first.
std::optional<Parts> split(std::string_view text) {
  std::string_view rest = text;
  if (!rest.empty() && rest.front() == '+') rest.remove_prefix(1);
  const std::size_t digit = rest.find_first_not_of("-.");
  if (digit == std::string_view::npos || digit > 2 || rest[digit] < '0' || rest[digit] > '9') return std::nullopt;
  Parts parts;
  const auto [end, problem] = std::from_chars(rest.data(), rest.data() + rest.size(), parts.number, std::chars_format::fixed);
  if (problem != std::errc{} || !std::isfinite(parts.number)) return std::nullopt;
  const std::string_view unit{end, static_cast<std::size_t>(rest.data() + rest.size() - end)};
  // `1,5 l`, `5..2 l`: half a number would be read in silence.
  if (!unit.empty() && (unit.front() == ',' || unit.front() == '.')) return std::nullopt;
  parts.unit = plain(trimmed(unit));
  return parts;
}

template <class Q>
struct Unit {
  std::string_view word;
  Q (*make)(double);
};

template <class Q, std::size_t N>
Result<Q> parse(std::string_view text, const std::string& field, const std::array<Unit<Q>, N>& units, std::string_view accepted) {
  const std::string given{text};
  const std::vector<Fact> facts{{"given", given}, {"units", std::string(accepted)}};
  text = trimmed(text);
  if (text.empty()) return fail("quantity.empty", {{}, 0, field}, facts);
  const auto parts = split(text);
  if (!parts) return fail("quantity.no_number", {{}, 0, field}, facts);
  if (parts->unit.empty()) return fail("quantity.no_unit", {{}, 0, field}, facts);
  for (const auto& unit : units)
    if (unit.word == parts->unit) return unit.make(parts->number);
  return fail("quantity.unknown_unit", {{}, 0, field}, facts);
}

template <class Q>
Result<Q> between(Result<Q> value, Q low, Q high, std::string_view text, const std::string& field, std::string range) {
  if (value && (*value < low || *value > high))
    return fail("quantity.impossible", {{}, 0, field}, {{"given", std::string(text)}, {"range", std::move(range)}});
  return value;
}

/// Above this nothing of a garden is meant.
constexpr double huge = 1e9;

constexpr std::array temperatures{
    Unit<Temperature>{"c", &Temperature::celsius},
    Unit<Temperature>{"f", &Temperature::fahrenheit},
    Unit<Temperature>{"k", [](double k) { return Temperature::celsius(k - 273.15); }},
};
constexpr std::array areas{
    Unit<Area>{"m2", &Area::square_metres}, Unit<Area>{"ha", &Area::hectares}, Unit<Area>{"ft2", &Area::square_feet},
    Unit<Area>{"sqft", &Area::square_feet}, Unit<Area>{"acre", &Area::acres},  Unit<Area>{"acres", &Area::acres},
};
constexpr std::array volumes{
    Unit<Volume>{"ml", &Volume::millilitres},     Unit<Volume>{"l", &Volume::litres},         Unit<Volume>{"gal", &Volume::gallons},
    Unit<Volume>{"qt", &Volume::quarts},          Unit<Volume>{"pt", &Volume::pints},         Unit<Volume>{"floz", &Volume::fluid_ounces},
    Unit<Volume>{"fl oz", &Volume::fluid_ounces}, Unit<Volume>{"tbsp", &Volume::tablespoons}, Unit<Volume>{"tsp", &Volume::teaspoons},
};
constexpr std::array masses{
    Unit<Mass>{"g", &Mass::grams},
    Unit<Mass>{"kg", &Mass::kilograms},
    Unit<Mass>{"oz", &Mass::ounces},
    Unit<Mass>{"lb", &Mass::pounds},
};
constexpr std::array lengths{
    Unit<Length>{"mm", &Length::millimetres}, Unit<Length>{"cm", &Length::centimetres}, Unit<Length>{"m", &Length::metres},
    Unit<Length>{"km", &Length::kilometres},  Unit<Length>{"in", &Length::inches},      Unit<Length>{"ft", &Length::feet},
    Unit<Length>{"mi", &Length::miles},
};
constexpr std::array elevations{Unit<Length>{"m", &Length::metres}, Unit<Length>{"ft", &Length::feet}};
constexpr std::array speeds{
    Unit<Speed>{"m/s", &Speed::metres_per_second},
    Unit<Speed>{"km/h", &Speed::kilometres_per_hour},
    Unit<Speed>{"kmh", &Speed::kilometres_per_hour},
    Unit<Speed>{"mph", &Speed::miles_per_hour},
};
constexpr std::array pressures{
    Unit<Pressure>{"hpa", &Pressure::hectopascals},       Unit<Pressure>{"mb", &Pressure::hectopascals},
    Unit<Pressure>{"mbar", &Pressure::hectopascals},      Unit<Pressure>{"kpa", &Pressure::kilopascals},
    Unit<Pressure>{"inhg", &Pressure::inches_of_mercury},
};

/// `positive` and `negative`: the letters of the two directions.
Result<Angle> parse_angle(std::string_view text, const std::string& field, char positive, char negative, double most) {
  const std::vector<Fact> facts{{"given", std::string(text)}, {"most", Number{most, 0}}};
  const auto parts = split(trimmed(text));
  if (!parts) return fail("quantity.angle_unreadable", {{}, 0, field}, facts);
  double degrees = parts->number;
  if (!parts->unit.empty()) {
    const bool known = parts->unit.size() == 1 && (parts->unit[0] == positive || parts->unit[0] == negative);
    // `-43S` says south twice; better asked than guessed.
    if (!known || degrees < 0.0) return fail("quantity.angle_unreadable", {{}, 0, field}, facts);
    if (parts->unit[0] == negative) degrees = -degrees;
  }
  if (std::abs(degrees) > most) return fail("quantity.angle_outside", {{}, 0, field}, facts);
  return Angle::degrees(degrees);
}

}  // namespace

Result<Temperature> parse_temperature(std::string_view text, const std::string& field) {
  return between(parse(text, field, temperatures, "C, F, K"), Temperature::celsius(-273.15), Temperature::celsius(1000.0), text, field,
                 "-273.15C … 1000C");
}

Result<Area> parse_area(std::string_view text, const std::string& field) {
  return between(parse(text, field, areas, "m2, ha, ft2, acre"), Area{}, Area::square_metres(huge), text, field, "0 m2 … 100000 ha");
}

Result<Volume> parse_volume(std::string_view text, const std::string& field) {
  return between(parse(text, field, volumes, "ml, l, gal, qt, pt, floz, tbsp, tsp"), Volume{}, Volume::litres(huge), text, field,
                 "0 l … 1000000000 l");
}

Result<Mass> parse_mass(std::string_view text, const std::string& field) {
  return between(parse(text, field, masses, "g, kg, oz, lb"), Mass{}, Mass::grams(huge), text, field, "0 g … 1000 t");
}

Result<Length> parse_length(std::string_view text, const std::string& field) {
  return between(parse(text, field, lengths, "mm, cm, m, km, in, ft, mi"), Length{}, Length::metres(huge), text, field, "0 m … 1000000 km");
}

Result<Length> parse_elevation(std::string_view text, const std::string& field) {
  return between(parse(text, field, elevations, "m, ft"), Length::metres(-500.0), Length::metres(9000.0), text, field, "-500m … 9000m");
}

Result<Speed> parse_speed(std::string_view text, const std::string& field) {
  return between(parse(text, field, speeds, "m/s, km/h, mph"), Speed{}, Speed::metres_per_second(150.0), text, field, "0 m/s … 150 m/s");
}

Result<Pressure> parse_pressure(std::string_view text, const std::string& field) {
  return between(parse(text, field, pressures, "hPa, mb, mbar, kPa, inHg"), Pressure::hectopascals(300.0), Pressure::hectopascals(1200.0),
                 text, field, "300 hPa … 1200 hPa");
}

Result<Angle> parse_latitude(std::string_view text, const std::string& field) { return parse_angle(text, field, 'n', 's', 90.0); }
Result<Angle> parse_longitude(std::string_view text, const std::string& field) { return parse_angle(text, field, 'e', 'w', 180.0); }

Result<int> parse_whole(std::string_view text, const std::string& field, int least, int most) {
  const std::string_view digits = trimmed(text);
  int value = 0;
  const auto [end, problem] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (digits.empty() || problem != std::errc{} || end != digits.data() + digits.size() || value < least || value > most)
    return fail("quantity.whole_number", {{}, 0, field},
                {{"given", std::string(text)}, {"least", std::int64_t{least}}, {"most", std::int64_t{most}}});
  return value;
}

}  // namespace leafturn::io
