#pragma once
/// How fast a population grows whose young take a fixed or a spread time to grow up: the closed form against which chains are checked.

#include <optional>

namespace leafturn::phenology {

struct DelayedBirths {
  double births_per_day = 0.0;  ///< of an adult
  double survival = 1.0;        ///< of the young until grown up
  double delay_days = 0.0;      ///< mean time to grow up
  double deaths_per_day = 0.0;  ///< of an adult
};

/// The rate r per day at which A'(t) = births·survival·A(t − delay) − deaths·A(t) grows in the end:
/// W(delay·births·survival·e^(deaths·delay))/ delay − deaths with Lambert's W (Nisbet & Gurney 1983, Theor. Popul. Biol. 23:114–135, for
/// the equation). With `substages` k the delay is a chain of k equal ones: r + deaths = births·survival·(1 + r·delay/k)^−k. By bisection,
/// to 1e-13.
double growth_rate(const DelayedBirths& births, std::optional<int> substages);

}  // namespace leafturn::phenology
