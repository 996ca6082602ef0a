#pragma once
/// The gardens that may be looked at while a model is made, and those that may not. Fixed at the commit that brought this file: the
/// population model was being written, but nothing had been foretold, scored or tuned in any garden yet. The gardens themselves (arrivals,
/// who rests when) were still mended for the two commits after it, by the peaks of training gardens alone, and stand since the commit that
/// brought their fingerprint (laws_test.cpp). Forecasts and decisions are scored on `held_out` alone.

#include <vector>

#include "tests/gardens/garden.hpp"

namespace leafturn::gardens {

/// Three forms in turn: specs i = 0 … 3 × each - 1 have form i % 3 and seed offset + i.
inline std::vector<Spec> seeds_from(std::uint64_t offset, std::uint64_t each) {
  std::vector<Spec> specs;
  for (std::uint64_t i = 0; i < 3 * each; ++i) specs.push_back({static_cast<Kind>(i % 3), offset + i});
  return specs;
}

inline std::vector<Spec> training() { return seeds_from(1'000'000, 40); }    ///< 120 gardens
inline std::vector<Spec> held_out() { return seeds_from(77'000'000, 100); }  ///< 300 gardens, 100 of each form

}  // namespace leafturn::gardens
