#include "core/phenology/rate_sum_kernel.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#if defined(__x86_64__) && defined(__GNUC__)
#define LEAFTURN_X86_LANES 1
#else
#define LEAFTURN_X86_LANES 0
#endif

namespace leafturn::phenology {
namespace {

struct Curve {
  float scale;  // of the sum of twelve rates
  float lower, upper;
};

// Written so that a NaN comes out, and so that one instruction does it.
[[gnu::always_inline]] inline float at_least_zero(float x) { return x < 0.0F ? 0.0F : x; }

[[gnu::always_inline]] inline float rate(float t, float lower, float upper) {
  return at_least_zero(t) * at_least_zero(t - lower) * std::sqrt(at_least_zero(upper - t));
}

// The two hours at `sine` above and below the day's middle.
[[gnu::always_inline]] inline float pair(float mid, float half, float sine, float lower, float upper) {
  const float off = half * sine;
  return rate(mid + off, lower, upper) + rate(mid - off, lower, upper);
}

// Inlined into one function per instruction set; -O3 (CMakeLists.txt) makes lanes of it. sin((2j + 1)·π/24).
[[gnu::always_inline]] inline void cells(const float* __restrict mins, const float* __restrict maxs, float* __restrict sums,
                                         std::size_t count, Curve curve) {
  const float lower = curve.lower;
  const float upper = curve.upper;
  const float scale = curve.scale;
  for (std::size_t i = 0; i < count; ++i) {
    const float mid = 0.5F * (maxs[i] + mins[i]);
    const float half = 0.5F * (maxs[i] - mins[i]);
    const float slow = pair(mid, half, 0.13052619F, lower, upper) + pair(mid, half, 0.38268343F, lower, upper);
    const float middle = pair(mid, half, 0.60876143F, lower, upper) + pair(mid, half, 0.79335334F, lower, upper);
    const float far = pair(mid, half, 0.92387953F, lower, upper) + pair(mid, half, 0.99144486F, lower, upper);
    sums[i] += scale * (slow + middle + far);
  }
}

void cells_baseline(const float* mins, const float* maxs, float* sums, std::size_t count, Curve curve) {
  cells(mins, maxs, sums, count, curve);
}
#if LEAFTURN_X86_LANES
[[gnu::target("avx2")]] void cells_avx2(const float* mins, const float* maxs, float* sums, std::size_t count, Curve curve) {
  cells(mins, maxs, sums, count, curve);
}
#if defined(__clang__)
[[gnu::target("avx512f")]]
#else
[[gnu::target("avx512f,prefer-vector-width=512")]]
#endif
void cells_avx512(const float* mins, const float* maxs, float* sums, std::size_t count, Curve curve) {
  cells(mins, maxs, sums, count, curve);
}
#endif

}  // namespace

void add_briere_day(std::span<const float> mins, std::span<const float> maxs, const pest::BriereRate& rate, std::span<float> sums,
                    Lanes lanes) {
  const std::size_t count = std::min({mins.size(), maxs.size(), sums.size()});
  const Curve curve{static_cast<float>(rate.scale / 12.0), static_cast<float>(rate.lower.celsius()),
                    static_cast<float>(rate.upper.celsius())};
  auto* run = cells_baseline;
#if LEAFTURN_X86_LANES
  if (lanes == Lanes::avx2) run = cells_avx2;
  if (lanes == Lanes::avx512) run = cells_avx512;
#else
  static_cast<void>(lanes);
#endif
  run(mins.data(), maxs.data(), sums.data(), count, curve);
}

void add_briere_day(std::span<const float> mins, std::span<const float> maxs, const pest::BriereRate& rate, std::span<float> sums) {
  add_briere_day(mins, maxs, rate, sums, widest_lanes());
}

}  // namespace leafturn::phenology
