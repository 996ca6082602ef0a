#pragma once
/// One bed, one block of sixteen members alike, for tests of the kernel: hazards by stage, a run at a time.

#include <algorithm>
#include <vector>

#include "core/population/kernel.hpp"

namespace leafturn::test {

struct OneBed {
  explicit OneBed(const population::Life& with)
      : life{&with}, x(with.substages * population::lanes), hazard(with.stages.size() * population::lanes) {}

  void put(std::size_t substage, float individuals) {
    for (std::size_t lane = 0; lane < population::lanes; ++lane) x[substage * population::lanes + lane] += individuals;
  }
  void die(std::size_t stage, float a_day) {
    std::fill_n(hazard.begin() + static_cast<std::ptrdiff_t>(stage * population::lanes), population::lanes, a_day);
  }
  void run(std::span<const population::Step> steps) {
    const population::Run of = population::run_of(*life, steps);
    population::advance_block({life, &of, hazard, young, laid, resting_share, resting, x}, lanes);
    population::flush_tiny(x, lanes);
  }
  float in_stage(std::size_t stage) const {
    std::vector<float> out(life->stages.size() * population::lanes);
    population::stage_totals(*life, x, out, lanes);
    return out[stage * population::lanes];
  }
  double total() const {
    double sum = 0.0;
    for (std::size_t s = 0; s < life->stages.size(); ++s) sum += static_cast<double>(in_stage(s));
    return sum;
  }

  const population::Life* life;
  population::Lanes16 x;
  population::Lanes16 hazard;
  std::vector<float> young = std::vector<float>(population::lanes, 0.0F);
  std::vector<float> laid = std::vector<float>(population::lanes, 0.0F);
  std::vector<float> resting = std::vector<float>(population::lanes, 0.0F);
  float resting_share = 0.0F;
  population::Lanes lanes = population::widest_lanes();
};

}  // namespace leafturn::test
