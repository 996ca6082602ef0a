#include "core/spray/measures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace leafturn::spray {
namespace {

constexpr double tsp = Volume::teaspoons(1.0).litres();
constexpr double floz = Volume::fluid_ounces(1.0).litres();

constexpr std::array<Measure, 13> usual{{
    {"syringe_5", false, false, 0.0002, 0.005},
    {"syringe_20", false, false, 0.001, 0.020},
    {"syringe_60", false, false, 0.001, 0.060},
    {"cylinder_250", false, false, 0.005, 0.250},
    {"jug_1000", false, false, 0.025, 1.0},
    {"jug_5000", false, false, 0.1, 5.0},
    {"quarter_teaspoon", false, true, 0.25 * tsp, tsp},
    {"tablespoon", false, true, 1.5 * tsp, 3.0 * tsp},
    {"ounce_cup", false, true, 0.25 * floz, 8.0 * floz},
    {"quart_jug", false, true, floz, 32.0 * floz},
    {"gallon_jug", false, true, 4.0 * floz, 128.0 * floz},
    {"scale_fine", true, false, 0.1, 200.0},
    {"scale_kitchen", true, false, 1.0, 5000.0},
}};

// A dose that is a whole number of graduations but for the last bits of a double is that number.
constexpr double same = 1e-9;

}  // namespace

std::span<const Measure> usual_measures() { return usual; }

std::optional<Reading> measure_out(double wanted, bool weighs, bool us, std::span<const Measure> measures) {
  std::optional<Reading> best;
  for (const Measure& m : measures) {
    if (m.weighs != weighs || (!weighs && m.us != us) || !(wanted > 0.0)) continue;
    const double steps = std::floor(wanted / m.graduation * (1.0 + same));
    const double in_one = std::round(m.capacity / m.graduation);
    if (steps < least_graduations || steps > in_one * most_fillings) continue;
    Reading reading{m, static_cast<int>(steps / in_one), 0, std::min(wanted, steps * m.graduation)};
    reading.graduations = static_cast<int>(steps - reading.fillings * in_one);
    if (reading.measured < (1.0 - most_loss) * wanted) continue;
    const auto handlings = [](const Reading& r) { return r.fillings + (r.graduations > 0 ? 1 : 0); };
    const bool as_good = best && std::abs(reading.measured - best->measured) <= 0.01 * wanted;
    if (!best || (as_good ? handlings(reading) < handlings(*best) : reading.measured > best->measured)) best = reading;
  }
  return best;
}

double least_measurable(bool weighs, std::span<const Measure> measures) {
  double least = std::numeric_limits<double>::infinity();
  for (const Measure& m : measures)
    if (m.weighs == weighs) least = std::min(least, least_graduations * m.graduation);
  return least;
}

}  // namespace leafturn::spray
