#include <array>
#include <charconv>
#include <cmath>

#include "words/catalogue.hpp"
#include "words/clean_text.hpp"
#include "words/template.hpp"

namespace leafturn::words {
namespace {

/// Plain digits with a point, whatever the process's locale says.
std::string digits(double value, int decimals) {
  if (!std::isfinite(value)) return missing("number");
  std::array<char, 400> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, decimals).ptr;
  std::string out(text.data(), end);
  if (out.find_first_of("123456789") == std::string::npos && out[0] == '-') out.erase(0, 1);  // no minus zero
  return out;
}

std::string without_end_zeros(std::string text) {
  if (text.find('.') == std::string::npos) return text;
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

/// A measured size to about two figures: nobody steps out a bed to the millimetre.
std::string about(double value) {
  const double size = std::abs(value);
  return without_end_zeros(digits(value, size >= 9.95 ? 0 : size >= 0.995 ? 1 : 2));
}

std::string form(std::string_view key, const Style& style, std::string_view n, std::string_view other = {}) {
  return fill(say_key(key, style), [&](std::string_view name) -> std::optional<std::string> {
    if (name == "n") return std::string(n);
    if (name == "other") return std::string(other);
    return std::nullopt;
  });
}

bool us(const Style& style) { return style.units == garden::Units::us; }

/// The reader's unit first, the other in brackets.
std::string in_both(std::string_view metric_first, std::string_view us_first, double metric, double other, const Style& style) {
  return us(style) ? form(us_first, style, digits(other, 0), digits(metric, 0))
                   : form(metric_first, style, digits(metric, 0), digits(other, 0));
}

std::string say_date(Date date, const Style& style) {
  return fill(say_key("format.date", style), [&](std::string_view name) -> std::optional<std::string> {
    if (name == "weekday") return say_key("format.weekday." + std::to_string(date.weekday() + 1), style);
    if (name == "day") return std::to_string(date.day());
    if (name == "month") return say_key("format.month." + std::to_string(date.month()), style);
    return std::nullopt;
  });
}

std::string say_time(const CivilTime& time, const Style& style) {
  const int minute = time.second_of_day / 60;
  const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return form("format.time", style, two(minute / 60) + ":" + two(minute % 60), say_date(time.date, style));
}

std::string say_share(double share, const Style& style) {
  if (share > 0.0 && share < 0.005) return say_key("format.share_below", style);
  if (share < 1.0 && share >= 0.995) return say_key("format.share_above", style);
  return form("format.share", style, digits(share * 100.0, 0));
}

std::string say_length(Length length, const Style& style) {
  const double m = std::abs(length.metres());
  if (us(style)) {
    if (m >= 1609.0) return form("format.mi", style, about(length.miles()));
    return m >= 0.6 ? form("format.ft", style, about(length.feet())) : form("format.in", style, about(length.inches()));
  }
  if (m >= 1000.0) return form("format.km", style, about(length.kilometres()));
  if (m >= 1.0) return form("format.m", style, about(length.metres()));
  return m >= 0.03 ? form("format.cm", style, about(length.centimetres())) : form("format.mm", style, about(length.millimetres()));
}

std::string say_area(Area area, const Style& style) {
  if (us(style))
    return area.acres() >= 0.5 ? form("format.acre", style, about(area.acres())) : form("format.ft2", style, about(area.square_feet()));
  return area.hectares() >= 0.5 ? form("format.ha", style, about(area.hectares())) : form("format.m2", style, about(area.square_metres()));
}

std::string say_volume(Volume volume, const Style& style) {
  if (us(style)) {
    if (volume.gallons() >= 1.0) return form("format.gal", style, about(volume.gallons()));
    return volume.quarts() >= 1.0 ? form("format.qt", style, about(volume.quarts()))
                                  : form("format.floz", style, about(volume.fluid_ounces()));
  }
  return volume.litres() >= 1.0 ? form("format.l", style, about(volume.litres())) : form("format.ml", style, about(volume.millilitres()));
}

/// Spanish says 'e' for 'y' before the sound of i: 'larvas e insectos', but 'nieve y hielo'.
bool starts_with_i_sound(std::string_view word) {
  const auto starts = [&](std::string_view head) { return word.substr(0, head.size()) == head; };
  if (starts("i") || starts("I") || starts("í") || starts("Í")) return true;
  return (starts("hi") || starts("Hi") || starts("hí") || starts("Hí")) && !starts("hie") && !starts("Hie") && !starts("hia") &&
         !starts("Hia");
}

std::string say_terms(const Terms& terms, const Style& style) {
  if (terms.keys.empty()) return say_key("format.nothing", style);
  std::string out = say_key(terms.keys.front().key, style);
  for (std::size_t i = 1; i < terms.keys.size(); ++i) {
    const std::string word = say_key(terms.keys[i].key, style);
    if (i + 1 < terms.keys.size()) {
      out += ", " + word;
    } else {
      const bool e = style.language == Language::es && starts_with_i_sound(word);
      out += " " + say_key(e ? "format.and_before_i" : "format.and", style) + " " + word;
    }
  }
  return out;
}

struct Sayer {
  const Style& style;
  std::string operator()(const std::string& text) const { return clean_text(text); }
  std::string operator()(const Term& term) const { return say_key(term.key, style); }
  std::string operator()(const Terms& terms) const { return say_terms(terms, style); }
  std::string operator()(std::int64_t n) const { return std::to_string(n); }
  std::string operator()(const Number& n) const { return digits(n.value, n.decimals < 0 ? 0 : n.decimals); }
  std::string operator()(const Share& s) const { return say_share(s.value, style); }
  std::string operator()(Date d) const { return say_date(d, style); }
  std::string operator()(const CivilTime& t) const { return say_time(t, style); }
  std::string operator()(Temperature t) const {
    return in_both("format.temperature_metric", "format.temperature_us", t.celsius(), t.fahrenheit(), style);
  }
  std::string operator()(DegreeDays d) const {
    return in_both("format.degree_days_metric", "format.degree_days_us", d.celsius_days(), d.fahrenheit_days(), style);
  }
  std::string operator()(Length l) const { return say_length(l, style); }
  std::string operator()(Area a) const { return say_area(a, style); }
  std::string operator()(Volume v) const { return say_volume(v, style); }
  std::string operator()(Speed s) const {
    return us(style) ? form("format.mph", style, digits(s.miles_per_hour(), 0))
                     : form("format.kmh", style, digits(s.kilometres_per_hour(), 0));
  }
};

}  // namespace

std::string say_fact(const FactValue& value, const Style& style) { return std::visit(Sayer{style}, value); }

}  // namespace leafturn::words
