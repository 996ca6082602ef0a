#pragma once
/// How generation 0 comes out: the biofix found, and the share of it that has entered `Biofix::stage` by each hour.

#include <vector>

#include "core/phenology/cohort.hpp"

namespace leafturn::phenology {

struct Emergence {
  BiofixFound found;
  Date start, end;             ///< the days the season covers
  std::vector<double> inflow;  ///< share that enters in each hour from `start`; empty where nothing can be said
};

/// `soil`: of the same days as `request.air`; used where `Biofix::in_soil`.
Emergence emergence(const SeasonRequest& request, const weather::HourlySeries& soil);

}  // namespace leafturn::phenology
