#include "core/population/stage_chain.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

constexpr double beyond = std::numeric_limits<double>::infinity();

struct LogAndSlope {
  double log = 0.0;
  double slope = 0.0;  ///< by the growth rate
};

// log φ and its slope; +∞ where a stage's sum diverges.
LogAndSlope log_reproduction(std::span<const ChainStage> stages, const LayingStage& laying, double growth) {
  LogAndSlope sum;
  for (const ChainStage& stage : stages) {
    const double substage_days = stage.days / stage.substages;
    const double off = (growth + stage.deaths_per_day) * substage_days;
    if (!(off > -1.0)) return {beyond, -beyond};
    sum.log -= stage.substages * num::log1p(off);
    sum.slope -= stage.days / (1.0 + off);
  }
  const double substage_days = laying.life.days / laying.life.substages;
  const double off = (growth + laying.life.deaths_per_day) * substage_days;
  if (!(off > -1.0)) return {beyond, -beyond};
  const double passed = 1.0 / (1.0 + off);
  double power = 1.0;
  double laid = 0.0;
  double age = 0.0;
  for (int j = 1; j <= laying.life.substages; ++j) {
    power *= passed;
    laid += power;
    age += j * power * passed * substage_days;
  }
  sum.log += num::log(laying.young / laying.life.substages) + num::log(laid);
  sum.slope -= age / laid;
  return sum;
}

// The s with φ(s) = target. log φ is convex and falls, so Newton's steps from the left never pass the root; bisection brackets what they
// would miss.
std::optional<double> solve(std::span<const ChainStage> stages, const LayingStage& laying, double target) {
  if (!(laying.young > 0.0) || !(target > 0.0)) return std::nullopt;
  const double aim = num::log(target);
  const auto above = [&](double s) { return log_reproduction(stages, laying, s).log > aim; };
  double total_days = laying.life.days;
  for (const ChainStage& stage : stages) total_days += stage.days;
  double low = 0.0;
  double high = 0.0;
  double step = 1.0 / total_days;
  if (above(0.0)) {
    for (int i = 0; i < 200 && above(high); ++i, step *= 2.0) low = high, high += step;
  } else {
    for (int i = 0; i < 200 && !above(low); ++i, step *= 2.0) high = low, low -= step;
  }
  for (int i = 0; i < 200 && high - low > 1e-16 * (std::abs(low) + std::abs(high)); ++i) {
    double middle = 0.5 * (low + high);
    const LogAndSlope here = log_reproduction(stages, laying, low);
    const double newton = low - (here.log - aim) / here.slope;
    if (i % 2 == 0 && newton > low && newton < high) middle = newton;
    (above(middle) ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

double discounted_reproduction(std::span<const ChainStage> stages, const LayingStage& laying, double growth) {
  return laying.young > 0.0 ? num::exp(log_reproduction(stages, laying, growth).log) : 0.0;
}

std::optional<double> growth_per_day(std::span<const ChainStage> stages, const LayingStage& laying) { return solve(stages, laying, 1.0); }

std::optional<double> added_deaths_per_day(std::span<const ChainStage> stages, const LayingStage& laying, double net_reproduction) {
  // Deaths and growth enter alike, by their sum.
  return solve(stages, laying, net_reproduction);
}

double mean_generation_days(std::span<const ChainStage> stages, const LayingStage& laying) {
  return laying.young > 0.0 ? -log_reproduction(stages, laying, 0.0).slope : 0.0;
}

}  // namespace leafturn::population
