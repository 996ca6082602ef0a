#include "core/phenology/degree_day_kernel.hpp"

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

// Each comparison is written so that a NaN in `x` comes out, and so that one instruction does it.
[[gnu::always_inline]] inline float least(float a, float x) { return a < x ? a : x; }
[[gnu::always_inline]] inline float at_least_zero(float x) { return x < 0.0F ? 0.0F : x; }

/// Mean over the day of max(0, T − threshold).
[[gnu::always_inline]] inline float heat_above(float min, float max, float one_over_span, float threshold) {
  const float over = max - threshold;
  const float under = threshold - min;
  const float part = at_least_zero(least(over, under));
  const float u = part * one_over_span;
  float q = 6.96262408e-3F;
  q = q * u - 2.8476628e-3F;
  q = q * u + 5.5190916e-3F;
  q = q * u + 5.92745425e-3F;
  q = q * u + 1.3676853e-2F;
  q = q * u + 4.2440148e-2F;
  q = q * u + 4.24413188e-1F;
  return at_least_zero(0.5F * (over - under)) + part * std::sqrt(u) * q;
}

// Inlined into one function per instruction set; -O3 (CMakeLists.txt) makes lanes of it.
[[gnu::always_inline]] inline void cells(const float* __restrict mins, const float* __restrict maxs, float* __restrict out,
                                         std::size_t count, float lower, float upper) {
  constexpr float flat = 1e-30F;  // a span of zero leaves nothing between the extremes, but 0/0 must not be asked
  for (std::size_t i = 0; i < count; ++i) {
    const float min = mins[i];
    const float max = maxs[i];
    const float span = max - min;
    const float one_over_span = 1.0F / (span < flat ? flat : span);
    out[i] = at_least_zero(heat_above(min, max, one_over_span, lower) - heat_above(min, max, one_over_span, upper));
  }
}

void cells_baseline(const float* mins, const float* maxs, float* out, std::size_t count, float lower, float upper) {
  cells(mins, maxs, out, count, lower, upper);
}
#if LEAFTURN_X86_LANES
[[gnu::target("avx2")]] void cells_avx2(const float* mins, const float* maxs, float* out, std::size_t count, float lower, float upper) {
  cells(mins, maxs, out, count, lower, upper);
}
#if defined(__clang__)
[[gnu::target("avx512f")]]
#else
[[gnu::target("avx512f,prefer-vector-width=512")]]
#endif
void cells_avx512(const float* mins, const float* maxs, float* out, std::size_t count, float lower, float upper) {
  cells(mins, maxs, out, count, lower, upper);
}
#endif

}  // namespace

Lanes widest_lanes() {
#if LEAFTURN_X86_LANES
  if (__builtin_cpu_supports("avx512f")) return Lanes::avx512;
  if (__builtin_cpu_supports("avx2")) return Lanes::avx2;
#endif
  return Lanes::baseline;
}

void single_sine_horizontal(std::span<const float> mins, std::span<const float> maxs, const Thresholds& thresholds, std::span<float> out,
                            Lanes lanes) {
  const std::size_t count = std::min({mins.size(), maxs.size(), out.size()});
  const auto lower = static_cast<float>(thresholds.lower.celsius());
  const auto upper = static_cast<float>(thresholds.upper.value_or(thresholds.lower).celsius());
  auto* run = cells_baseline;
#if LEAFTURN_X86_LANES
  if (lanes == Lanes::avx2) run = cells_avx2;
  if (lanes == Lanes::avx512) run = cells_avx512;
#else
  static_cast<void>(lanes);
#endif
  run(mins.data(), maxs.data(), out.data(), count, lower, upper);
}

void single_sine_horizontal(std::span<const float> mins, std::span<const float> maxs, const Thresholds& thresholds, std::span<float> out) {
  single_sine_horizontal(mins, maxs, thresholds, out, widest_lanes());
}

}  // namespace leafturn::phenology
