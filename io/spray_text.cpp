#include "io/spray_text.hpp"

#include <cctype>
#include <utility>

#include "io/quantity_text.hpp"

namespace leafturn::io {
namespace {

struct Halves {
  std::string above, below;  ///< below: with a number, `1000 ft2`
};

Result<Halves> halves(std::string_view text, const std::string& field, const char* units) {
  const auto slash = text.find('/');
  if (slash == std::string_view::npos) return fail("quantity.no_slash", {{}, 0, field}, {{"given", std::string(text)}, {"units", units}});
  Halves out{std::string(text.substr(0, slash)), std::string(text.substr(slash + 1))};
  const auto first = out.below.find_first_not_of(' ');
  // `/acre` is one acre.
  if (first == std::string::npos || std::isdigit(static_cast<unsigned char>(out.below[first])) == 0) out.below.insert(0, "1");
  return out;
}

}  // namespace

Result<spray::Flow> parse_flow(std::string_view text, const std::string& field) {
  constexpr const char* units = "l/min, ml/s, gal/min, floz/min";
  const auto parts = halves(text, field, units);
  if (!parts) return fail(parts.error());
  const auto volume = parse_volume(parts->above, field);
  if (!volume) return fail(volume.error());
  std::string unit;
  for (const char c : parts->below)
    if (std::isalpha(static_cast<unsigned char>(c)) != 0) unit += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const double seconds = unit == "s" || unit == "sec" ? 1.0 : unit == "min" ? 60.0 : unit == "h" ? 3600.0 : 0.0;
  if (!(seconds > 0.0)) return fail("quantity.unknown_unit", {{}, 0, field}, {{"given", std::string(text)}, {"units", units}});
  return spray::Flow::of(*volume, seconds);
}

Result<spray::SprayVolume> parse_spray_volume(std::string_view text, const std::string& field) {
  const auto parts = halves(text, field, "gal/acre, l/ha, floz/1000ft2");
  if (!parts) return fail(parts.error());
  const auto volume = parse_volume(parts->above, field);
  if (!volume) return fail(volume.error());
  const auto area = parse_area(parts->below, field);
  if (!area) return fail(area.error());
  if (!(area->square_metres() > 0.0))
    return fail("quantity.impossible", {{}, 0, field}, {{"given", std::string(text)}, {"range", "> 0 m2"}});
  return spray::SprayVolume::of(*volume, *area);
}

}  // namespace leafturn::io
