#include "core/population/kernel.hpp"

#include <algorithm>
#include <array>
#include <cstring>

#if defined(__x86_64__) && defined(__GNUC__)
#define LEAFTURN_X86_LANES 1
#else
#define LEAFTURN_X86_LANES 0
#endif

#if defined(__GNUC__)
#pragma GCC diagnostic ignored "-Wpsabi"  // vectors are passed only to functions that are always inlined
#endif

namespace leafturn::population {
namespace {

typedef float Sixteen __attribute__((vector_size(64)));
typedef float Eight __attribute__((vector_size(32)));
typedef float Four __attribute__((vector_size(16)));

// A block's sixteen lanes as so many registers of V: each register goes through the whole chain on its own, so nothing is spilled.
template <class V>
inline constexpr std::size_t width = sizeof(V) / sizeof(float);

template <class V>
[[gnu::always_inline]] inline V load(const float* from) {
  V v;
  std::memcpy(&v, from, sizeof v);
  return v;
}
template <class V>
[[gnu::always_inline]] inline void store(float* to, const V& v) {
  std::memcpy(to, &v, sizeof v);
}

// exp(−y) and exp(y) for 0 ≤ y ≤ most_hazard/2, relative error below 2e-6 up to y = 1 and 0.7 % at the far end; exactly 1 at 0. Comparisons
// so that a negative y counts as 0.
template <class V>
[[gnu::always_inline]] inline V exp_quarter_to_the_fourth(const V& z) {
  V e = z * (1.0F / 120.0F) + (1.0F / 24.0F);
  e = e * z + (1.0F / 6.0F);
  e = e * z + 0.5F;
  e = e * z + 1.0F;
  e = e * z + 1.0F;
  e = e * e;
  return e * e;
}
template <class V>
[[gnu::always_inline]] inline void lives_through(const V& unlimited, V& half, V& per_half) {
  const V zero = V{};
  const V most = zero + 0.5F * most_hazard;
  V y = unlimited > zero ? unlimited : zero;
  y = y < most ? y : most;
  const V z = 0.25F * y;
  half = exp_quarter_to_the_fourth<V>(-z);
  per_half = exp_quarter_to_the_fourth<V>(z);
}

// What the loops need, without spans and vectors.
struct Plan {
  const LifeStage* stages;
  std::size_t stage_count;
  std::size_t substages;
  std::size_t laying;
  std::size_t decided;  // stage_count when nobody rests
  const Pass* passes;
  std::size_t pass_count;
  float resting_share;
  const float* hazard;
  float* half;      // [stage × 16] share that lives through half a pass
  float* per_half;  // [stage × 16] one over it
  const float* young;
  float* laid;
  float* resting;
};

// What has been seen of the stages passed, for the next one: x(last), x(last − 1) before the pass with half of its deaths done, and
// x'(last) before the other half.
template <class V>
struct Before {
  V one, two, on;
};

template <class V>
[[gnu::always_inline]] inline void stage_pass(const StagePass& c, const V& half, const V& per_half, std::size_t count, float* __restrict x,
                                              Before<V>& before) {
  const V both = half * half;
  const V stay = c.stay * both;
  const V one = c.one * both;
  const V two = c.two * both;
  const float on = c.on;
  const float on_on = on * on;
  V x1 = load<V>(x);
  V y = stay * x1 + half * (c.enter_one * before.one + c.enter_two * before.two + c.enter_on * before.on);
  store(x, y);
  if (count == 1) {
    before.two = before.one;
  } else {
    V x2 = x1;
    x1 = load<V>(x + lanes);
    y = (stay * x1 + one * x2 + half * (c.second_two * before.one)) + on * y;
    store(x + lanes, y);
    std::size_t i = 2;
    // Two at a time, so that x'(i − 1) is waited for half as often.
    for (; i + 1 < count; i += 2) {
      const V x3 = load<V>(x + i * lanes);
      const V x4 = load<V>(x + (i + 1) * lanes);
      const V f3 = stay * x3 + one * x1 + two * x2;
      const V f4 = stay * x4 + one * x3 + two * x1;
      const V y3 = f3 + on * y;
      y = (f4 + on * f3) + on_on * y;
      store(x + i * lanes, y3);
      store(x + (i + 1) * lanes, y);
      x2 = x3;
      x1 = x4;
    }
    if (i < count) {
      const V x3 = load<V>(x + i * lanes);
      y = (stay * x3 + one * x1 + two * x2) + on * y;
      store(x + i * lanes, y);
      x2 = x1;
      x1 = x3;
    }
    before.two = half * x2;
  }
  before.one = half * x1;
  before.on = y * per_half;
}

template <class V>
[[gnu::always_inline]] inline V stage_sum(const LifeStage& stage, const float* x) {
  V sum = load<V>(x + stage.first * lanes);
  for (std::size_t i = 1; i < stage.count; ++i) sum = sum + load<V>(x + (stage.first + i) * lanes);
  return sum;
}

template <class V>
[[gnu::always_inline]] inline void run_lanes(const Plan& plan, float* __restrict x, std::size_t lane) {
  const V young = load<V>(plan.young + lane);
  V laid = load<V>(plan.laid + lane);
  V resting = V{};
  float* const mine = x + lane;
  for (std::size_t p = 0; p < plan.pass_count; ++p) {
    const Pass& pass = plan.passes[p];
    const V adults = stage_sum<V>(plan.stages[plan.laying], mine);
    for (std::size_t s = 0; s < plan.stage_count; ++s) {
      V half, per_half;
      lives_through<V>(load<V>(plan.hazard + s * lanes + lane) * (0.5F * pass.days), half, per_half);
      store<V>(plan.half + s * lanes + lane, half);
      store<V>(plan.per_half + s * lanes + lane, per_half);
    }
    Before<V> before{V{}, V{}, V{}};
    for (std::size_t s = 0; s < plan.stage_count; ++s) {
      stage_pass<V>(pass.stages[s], load<V>(plan.half + s * lanes + lane), load<V>(plan.per_half + s * lanes + lane), plan.stages[s].count,
                    mine + plan.stages[s].first * lanes, before);
      if (s == plan.decided) {
        resting = resting + plan.resting_share * (pass.left_one * before.one + pass.left_two * before.two + pass.left_on * before.on);
        const float going_on = 1.0F - plan.resting_share;
        before.one = going_on * before.one;
        before.two = going_on * before.two;
        before.on = going_on * before.on;
      }
    }
    const V born = young * (0.5F * pass.aged) * (adults + stage_sum<V>(plan.stages[plan.laying], mine));
    laid = laid + born;
    const V alive = load<V>(plan.half + lane) * born;
    store<V>(mine, load<V>(mine) + (1.0F - pass.newborn_ahead) * alive);
    if (plan.substages > 1) store<V>(mine + lanes, load<V>(mine + lanes) + pass.newborn_ahead * alive);
  }
  store<V>(plan.laid + lane, laid);
  if (plan.resting != nullptr) store<V>(plan.resting + lane, load<V>(plan.resting + lane) + resting);
}

template <class V>
[[gnu::always_inline]] inline void run_block(const Plan& plan, float* x) {
  for (std::size_t lane = 0; lane < lanes; lane += width<V>) run_lanes<V>(plan, x, lane);
}

[[gnu::always_inline]] inline void flush(float* x, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) x[i] = x[i] < tiny ? 0.0F : x[i];
}

template <class V>
[[gnu::always_inline]] inline void totals(const LifeStage* stages, std::size_t count, const float* x, float* out) {
  for (std::size_t s = 0; s < count; ++s)
    for (std::size_t lane = 0; lane < lanes; lane += width<V>) store<V>(out + s * lanes + lane, stage_sum<V>(stages[s], x + lane));
}

// The loops in one instruction set.
struct Loops {
  void (*run)(const Plan&, float*);
  void (*flush)(float*, std::size_t);
  void (*totals)(const LifeStage*, std::size_t, const float*, float*);
};

void run_baseline(const Plan& plan, float* x) { run_block<Four>(plan, x); }
void flush_baseline(float* x, std::size_t count) { flush(x, count); }
void totals_baseline(const LifeStage* stages, std::size_t count, const float* x, float* out) { totals<Four>(stages, count, x, out); }
#if LEAFTURN_X86_LANES
#if defined(__clang__)
#define LEAFTURN_512 [[gnu::target("avx512f")]]
#else
#define LEAFTURN_512 [[gnu::target("avx512f,prefer-vector-width=512")]]
#endif
[[gnu::target("avx2")]] void run_avx2(const Plan& plan, float* x) { run_block<Eight>(plan, x); }
[[gnu::target("avx2")]] void flush_avx2(float* x, std::size_t count) { flush(x, count); }
[[gnu::target("avx2")]] void totals_avx2(const LifeStage* stages, std::size_t count, const float* x, float* out) {
  totals<Eight>(stages, count, x, out);
}
LEAFTURN_512 void run_avx512(const Plan& plan, float* x) { run_block<Sixteen>(plan, x); }
LEAFTURN_512 void flush_avx512(float* x, std::size_t count) { flush(x, count); }
LEAFTURN_512 void totals_avx512(const LifeStage* stages, std::size_t count, const float* x, float* out) {
  totals<Sixteen>(stages, count, x, out);
}
#endif

Loops loops_for(Lanes used) {
#if LEAFTURN_X86_LANES
  if (used == Lanes::avx512) return {run_avx512, flush_avx512, totals_avx512};
  if (used == Lanes::avx2) return {run_avx2, flush_avx2, totals_avx2};
#else
  static_cast<void>(used);
#endif
  return {run_baseline, flush_baseline, totals_baseline};
}

}  // namespace

void advance_block(const BlockRun& block, std::span<float> x, Lanes used) {
  const Life& life = *block.life;
  const Run& run = *block.run;
  Plan plan{};
  plan.stages = life.stages.data();
  plan.stage_count = life.stages.size();
  plan.substages = life.substages;
  plan.laying = life.laying;
  plan.decided = life.rest_decided && block.resting_share > 0.0F ? *life.rest_decided : life.stages.size();
  plan.passes = run.passes.data();
  plan.pass_count = run.passes.size();
  plan.resting_share = block.resting_share;
  plan.hazard = block.hazard.data();
  alignas(64) std::array<float, 2 * 16 * lanes> usual;  // dossiers have at most ten stages
  Lanes16 more;
  if (2 * life.stages.size() * lanes > usual.size()) more.resize(2 * life.stages.size() * lanes);
  plan.half = more.empty() ? usual.data() : more.data();
  plan.per_half = plan.half + life.stages.size() * lanes;
  plan.young = block.young.data();
  plan.laid = block.laid.data();
  plan.resting = block.resting.empty() ? nullptr : block.resting.data();
  loops_for(used).run(plan, x.data());
}

void flush_tiny(std::span<float> x, Lanes used) { loops_for(used).flush(x.data(), x.size()); }

void stage_totals(const Life& life, std::span<const float> x, std::span<float> out, Lanes used) {
  loops_for(used).totals(life.stages.data(), life.stages.size(), x.data(), out.data());
}

}  // namespace leafturn::population
