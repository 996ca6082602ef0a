#include "core/decision/gate.hpp"

#include <algorithm>
#include <map>

#include "core/base/elementary.hpp"

namespace leafturn::decision {
namespace {

struct Difference {
  std::int32_t day = 0;
  double gain = 0.0;
};

// Counts of one day are one draw.
double clustered_error(const std::vector<Difference>& all, double mean) {
  std::map<std::int32_t, double> days;
  for (const Difference& d : all) days[d.day] += d.gain - mean;
  double sum = 0.0;
  for (const auto& [day, deviation] : days) sum += deviation * deviation;
  const auto groups = static_cast<double>(days.size());
  const auto n = static_cast<double>(all.size());
  return groups > 1.0 ? num::sqrt(groups / (groups - 1.0) * sum) / n : 0.0;
}

Reason reason_of(const Gate& g, const Term& pest) {
  const Fact of{"pest", pest};
  if (g.counts < least_counts) return {"gate.too_few", {of, {"n", std::int64_t{g.counts}}, {"needed", std::int64_t{least_counts}}}};
  if (g.walks < least_walks) return {"gate.few_walks", {of, {"n", std::int64_t{g.walks}}, {"needed", std::int64_t{least_walks}}}};
  return {g.passed ? "gate.passed" : "gate.not_better",
          {of,
           {"n", std::int64_t{g.counts}},
           {"population", Number{g.population, 2}},
           {"carried", Number{g.carried, 2}},
           {"gain", Number{g.gain, 3}},
           {"error", Number{g.standard_error, 3}}}};
}

}  // namespace

double student_90(int degrees) {
  constexpr double z = 1.2815515655446004;  // of the normal distribution
  constexpr double z2 = z * z;
  const double n = degrees;
  return z + z * (z2 + 1.0) / (4.0 * n) + z * ((5.0 * z2 + 16.0) * z2 + 3.0) / (96.0 * n * n) +
         z * (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / (384.0 * n * n * n) +
         z * ((((79.0 * z2 + 776.0) * z2 + 1482.0) * z2 - 1920.0) * z2 - 945.0) / (92160.0 * n * n * n * n);
}

Gate gate(std::vector<Compared> scored, const Term& pest) {
  Gate out;
  std::vector<Difference> differences;
  std::vector<std::int32_t> days;
  for (const Compared& one : scored) {
    if (!one.carried) continue;
    const double plants = std::max(1, one.sighting.plants);
    const std::int32_t day = one.sighting.at / population::steps_a_day;
    out.population += one.population / plants;
    out.carried += *one.carried / plants;
    differences.push_back({day, (*one.carried - one.population) / plants});
    days.push_back(day);
  }
  std::sort(days.begin(), days.end());
  out.walks = static_cast<int>(std::unique(days.begin(), days.end()) - days.begin());
  out.counts = static_cast<int>(differences.size());
  if (out.counts > 0) {
    out.population /= out.counts;
    out.carried /= out.counts;
    out.gain = out.carried - out.population;
    out.standard_error = clustered_error(differences, out.gain);
  }
  out.passed = out.counts >= least_counts && out.walks >= least_walks && out.gain > student_90(out.walks - 1) * out.standard_error;
  out.why = reason_of(out, pest);
  out.scored = std::move(scored);
  return out;
}

}  // namespace leafturn::decision
