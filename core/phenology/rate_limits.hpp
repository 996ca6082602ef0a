#pragma once
/// Where a development rate is highest and where it ends.

#include <optional>

#include "core/base/quantity.hpp"
#include "core/pest/rate_model.hpp"

namespace leafturn::phenology {

struct Optimum {
  Temperature at;  ///< the lowest such temperature where the rate stays at its highest
  double rate_per_day = 0.0;
};

/// The temperature of fastest development; nothing for models that only rise (linear without an upper threshold, Schoolfield without heat
/// inactivation below 80 °C) or describe no rate. In closed form for Brière, Lactin, Logan-6, Kontodimas and beta, by differentiation; else
/// by golden-section search, to 1e-6 K.
std::optional<Optimum> optimum(const pest::RateModel& model);

/// Where the rate falls to 0 in the cold and in the heat, to 1e-9 K; a side is absent where it never does: linear models above without
/// `lethal`, Logan and Schoolfield below, Lactin below with λ ≥ 0, Schoolfield above. Both absent where there is no development at all.
struct RateLimits {
  std::optional<Temperature> lower, upper;
};
RateLimits limits(const pest::RateModel& model);

}  // namespace leafturn::phenology
