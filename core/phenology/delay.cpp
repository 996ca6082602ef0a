#include "core/phenology/delay.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"

namespace leafturn::phenology {

double growth_rate(const DelayedBirths& births, std::optional<int> substages) {
  const double recruits = births.births_per_day * births.survival;
  // r + deaths − recruits·(share of births that r has outgrown by the time they are adult) rises with r and has its root between these two.
  double low = -births.deaths_per_day;
  double high = std::max(0.0, recruits - births.deaths_per_day);
  if (substages && births.delay_days > 0.0) low = std::max(low, -*substages / births.delay_days * (1.0 - 1e-12));
  for (int i = 0; i < 200; ++i) {
    const double r = 0.5 * (low + high);
    const double grown =
        substages ? num::exp(-*substages * num::log1p(r * births.delay_days / *substages)) : num::exp(-r * births.delay_days);
    (r + births.deaths_per_day > recruits * grown ? high : low) = r;
  }
  return 0.5 * (low + high);
}

}  // namespace leafturn::phenology
