#include "bench/support/peaks.hpp"

#include <array>
#include <cmath>
#include <cstddef>

namespace leafturn::bench {
namespace {

// Ten independent chains of 16 floats: more than latency times ports, so that the ports are what is full. In narrower lanes the compiler
// splits each.
typedef float Sixteen __attribute__((vector_size(64)));
typedef float Eight __attribute__((vector_size(32)));
typedef float Four __attribute__((vector_size(16)));

template <class V>
[[gnu::always_inline]] inline float chains(std::size_t rounds, float by, float plus) {
  const V m = V{} + by;
  const V p = V{} + plus;
  V a = V{} + 1.0F, b = a + p, c = b + p, d = c + p, e = d + p, f = e + p, g = f + p, h = g + p, i = h + p, j = i + p;
  for (std::size_t n = 0; n < rounds; ++n) {
    a = a * m + p;
    b = b * m + p;
    c = c * m + p;
    d = d * m + p;
    e = e * m + p;
    f = f * m + p;
    g = g * m + p;
    h = h * m + p;
    i = i * m + p;
    j = j * m + p;
  }
  const V sum = a + b + c + d + e + f + g + h + i + j;
  return sum[0];
}

[[gnu::always_inline]] inline void roots(const float* __restrict from, float* __restrict to, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) to[i] = std::sqrt(from[i]);
}

// Volatile, so that nothing measured is left out as unused.
volatile float kept = 0.5F;

void roots_baseline(const float* from, float* to, std::size_t count) { roots(from, to, count); }
#if defined(__x86_64__) && defined(__GNUC__)
[[gnu::target("avx2")]] float chains_avx2(float by, float plus) { return chains<Eight>(2 * 4096, by, plus); }
[[gnu::target("avx512f")]] float chains_avx512(float by, float plus) { return chains<Sixteen>(4096, by, plus); }
[[gnu::target("avx2")]] void roots_avx2(const float* from, float* to, std::size_t count) { roots(from, to, count); }
#if defined(__clang__)
[[gnu::target("avx512f")]]
#else
[[gnu::target("avx512f,prefer-vector-width=512")]]
#endif
void roots_avx512(const float* from, float* to, std::size_t count) {
  roots(from, to, count);
}
#endif

}  // namespace

void multiply_and_add() {
  const float by = kept;
#if defined(__x86_64__) && defined(__GNUC__)
  if (__builtin_cpu_supports("avx512f")) {
    kept = 0.0F * chains_avx512(by, 0.25F) + 0.5F;
    return;
  }
  if (__builtin_cpu_supports("avx2")) {
    kept = 0.0F * chains_avx2(by, 0.25F) + 0.5F;
    return;
  }
#endif
  kept = 0.0F * chains<Four>(4 * 4096, by, 0.25F) + 0.5F;
}

void square_roots() {
  alignas(64) std::array<float, 2048> from{};
  alignas(64) std::array<float, 2048> to{};
  for (std::size_t i = 0; i < from.size(); ++i) from[i] = static_cast<float>(i) + kept;
  auto* run = roots_baseline;
#if defined(__x86_64__) && defined(__GNUC__)
  if (__builtin_cpu_supports("avx512f")) {
    run = roots_avx512;
  } else if (__builtin_cpu_supports("avx2")) {
    run = roots_avx2;
  }
#endif
  for (int pass = 0; pass < 64; ++pass) {
    run(from.data(), to.data(), from.size());
    from[static_cast<std::size_t>(pass)] += 1e-6F * to[static_cast<std::size_t>(pass)];
  }
  kept = 0.0F * to[7] + 0.5F;
}

}  // namespace leafturn::bench
