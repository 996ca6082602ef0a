#pragma once
/// Compiles a loop over lanes for each instruction set and runs it in the one asked for. What is called inside must be inlined to take
/// part. Files that use it are compiled with -O3 (CMakeLists.txt). Adding, multiplying, dividing, roots, rounding and comparing give the
/// same bits in all. Inside core/population.

#include <cstdint>
#include <cstring>

#include "core/phenology/degree_day_kernel.hpp"
#include "core/population/ensemble.hpp"

#if defined(__GNUC__)
#pragma GCC diagnostic ignored "-Wpsabi"  // vectors are passed only to functions that are always inlined
#endif

#define LEAFTURN_INLINE [[gnu::always_inline]] inline
/// After the parameters of a lambda given to `in_lanes`.
#define LEAFTURN_LANE_BODY __attribute__((always_inline))

namespace leafturn::population {

#if defined(__x86_64__) && defined(__GNUC__)
template <class Body>
[[gnu::target("avx2")]] void run_in_avx2(const Body& body) {
  body();
}
template <class Body>
#if defined(__clang__)
[[gnu::target("avx512f")]]
#else
[[gnu::target("avx512f,prefer-vector-width=512")]]
#endif
void run_in_avx512(const Body& body) {
  body();
}
#endif

template <class Body>
void in_lanes(phenology::Lanes used, const Body& body) {
#if defined(__x86_64__) && defined(__GNUC__)
  if (used == phenology::Lanes::avx512) return run_in_avx512(body);
  if (used == phenology::Lanes::avx2) return run_in_avx2(body);
#else
  static_cast<void>(used);
#endif
  body();
}

/// A block's lanes as one value.
typedef float LaneVector __attribute__((vector_size(sizeof(float) * lanes)));
typedef std::int32_t WholeVector __attribute__((vector_size(sizeof(float) * lanes)));

LEAFTURN_INLINE LaneVector get(const float* from) {
  LaneVector v;
  std::memcpy(&v, from, sizeof v);
  return v;
}
LEAFTURN_INLINE void put(float* to, const LaneVector& v) { std::memcpy(to, &v, sizeof v); }
LEAFTURN_INLINE LaneVector all(float value) { return LaneVector{} + value; }
LEAFTURN_INLINE LaneVector least(const LaneVector& a, const LaneVector& b) { return a < b ? a : b; }
LEAFTURN_INLINE LaneVector most(const LaneVector& a, const LaneVector& b) { return a > b ? a : b; }
/// The whole part of 0 ≤ v < 2³⁰.
LEAFTURN_INLINE LaneVector whole_part(const LaneVector& v) {
  return __builtin_convertvector(__builtin_convertvector(v, WholeVector), LaneVector);
}

}  // namespace leafturn::population
