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

// exp(−y) and exp(y) for 0 ≤ y ≤ most_hazard/2 from the even and odd parts of exp(y/4), relative error below 2e-6 up to y = 1 and 1.5 % at
// the far end; exactly 1 at 0. Comparisons so that a negative y counts as 0.
template <class V>
[[gnu::always_inline]] inline void lives_through(const V& unlimited, V& half, V& per_half) {
  const V zero = V{};
  const V most = zero + 0.5F * most_hazard;
  V y = unlimited > zero ? unlimited : zero;
  y = y < most ? y : most;
  const V z = 0.25F * y;
  const V w = z * z;
  const V even = (w * (1.0F / 24.0F) + 0.5F) * w + 1.0F;
  const V odd = ((w * (1.0F / 120.0F) + (1.0F / 6.0F)) * w + 1.0F) * z;
  half = even - odd;
  half = half * half;
  half = half * half;
  per_half = even + odd;
  per_half = per_half * per_half;
  per_half = per_half * per_half;
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
  float* x;
};

// What has been seen of the stages passed, for the next one: x(last), x(last − 1) before the pass with half of its deaths done, and
// x'(last) before the other half.
template <class V>
struct Before {
  V one, two, on;
};

// What a stage's substages meet, and what the last two held before the pass.
template <class V>
struct Going {
  V half, stay, one, two, x1, x2, y;
};

template <class V>
[[gnu::always_inline]] inline void enter(const StagePass& c, const V& half, std::size_t count, float* __restrict x, const Before<V>& before,
                                         Going<V>& g) {
  const V both = half * half;
  g.half = half;
  g.stay = c.stay * both;
  g.one = c.one * both;
  g.two = c.two * both;
  g.x1 = load<V>(x);
  g.y = g.stay * g.x1 + half * (c.enter_one * before.one + c.enter_two * before.two + c.enter_on * before.on);
  store(x, g.y);
  if (count == 1) return;
  g.x2 = g.x1;
  g.x1 = load<V>(x + lanes);
  g.y = (g.stay * g.x1 + g.one * g.x2 + half * (c.second_two * before.one)) + c.on * g.y;
  store(x + lanes, g.y);
}

template <class V>
[[gnu::always_inline]] inline void pass_one(float on, float* __restrict x, Going<V>& g) {
  const V x0 = load<V>(x);
  g.y = (g.stay * x0 + g.one * g.x1 + g.two * g.x2) + on * g.y;
  store(x, g.y);
  g.x2 = g.x1;
  g.x1 = x0;
}

// Two substages at once, so that x'(i − 1) is waited for half as often.
template <class V>
[[gnu::always_inline]] inline void pass_two(float on, float on_on, float* __restrict x, Going<V>& g) {
  const V x3 = load<V>(x);
  const V x4 = load<V>(x + lanes);
  const V f3 = g.stay * x3 + g.one * g.x1 + g.two * g.x2;
  const V f4 = g.stay * x4 + g.one * x3 + g.two * g.x1;
  const V y3 = f3 + on * g.y;
  g.y = (f4 + on * f3) + on_on * g.y;
  store(x, y3);
  store(x + lanes, g.y);
  g.x2 = x3;
  g.x1 = x4;
}

template <class V>
[[gnu::always_inline]] inline void leave(const Going<V>& g, const V& per_half, std::size_t count, Before<V>& before) {
  before.two = count == 1 ? before.one : g.half * g.x2;
  before.one = g.half * g.x1;
  before.on = g.y * per_half;
}

template <class V>
[[gnu::always_inline]] inline void stage_pass(const StagePass& c, const V& half, const V& per_half, std::size_t count, float* __restrict x,
                                              Before<V>& before) {
  Going<V> g;
  enter(c, half, count, x, before, g);
  const float on = c.on;
  const float on_on = on * on;
  std::size_t i = 2;
  for (; i + 1 < count; i += 2) pass_two(on, on_on, x + i * lanes, g);
  if (i < count) pass_one(on, x + i * lanes, g);
  leave(g, per_half, count, before);
}

template <class V>
[[gnu::always_inline]] inline V stage_sum(const LifeStage& stage, const float* x) {
  V sum = load<V>(x + stage.first * lanes);
  for (std::size_t i = 1; i < stage.count; ++i) sum = sum + load<V>(x + (stage.first + i) * lanes);
  return sum;
}

template <class V>
[[gnu::always_inline]] inline void set_survival(const Plan& plan, const Pass& pass, std::size_t lane) {
  for (std::size_t s = 0; s < plan.stage_count; ++s) {
    V half, per_half;
    lives_through<V>(load<V>(plan.hazard + s * lanes + lane) * (0.5F * pass.days), half, per_half);
    store<V>(plan.half + s * lanes + lane, half);
    store<V>(plan.per_half + s * lanes + lane, per_half);
  }
}

template <class V>
[[gnu::always_inline]] inline void go_to_rest(const Plan& plan, const Pass& pass, std::size_t lane, Before<V>& before) {
  const V left = pass.left_one * before.one + pass.left_two * before.two + pass.left_on * before.on;
  if (plan.resting != nullptr) store<V>(plan.resting + lane, load<V>(plan.resting + lane) + plan.resting_share * left);
  const float going_on = 1.0F - plan.resting_share;
  before.one = going_on * before.one;
  before.two = going_on * before.two;
  before.on = going_on * before.on;
}

template <class V>
[[gnu::always_inline]] inline void lay(const Plan& plan, const Pass& pass, std::size_t lane, const V& adults_before, float* x) {
  const V born = load<V>(plan.young + lane) * (0.5F * pass.aged) * (adults_before + stage_sum<V>(plan.stages[plan.laying], x));
  store<V>(plan.laid + lane, load<V>(plan.laid + lane) + born);
  const V alive = load<V>(plan.half + lane) * born;
  store<V>(x, load<V>(x) + (1.0F - pass.newborn_ahead) * alive);
  if (plan.substages > 1) store<V>(x + lanes, load<V>(x + lanes) + pass.newborn_ahead * alive);
}

template <class V>
[[gnu::always_inline]] inline void run_lanes(const Plan& plan, std::size_t lane) {
  float* const x = plan.x + lane;
  for (std::size_t p = 0; p < plan.pass_count; ++p) {
    const Pass& pass = plan.passes[p];
    const V adults = stage_sum<V>(plan.stages[plan.laying], x);
    set_survival<V>(plan, pass, lane);
    Before<V> before{V{}, V{}, V{}};
    for (std::size_t s = 0; s < plan.stage_count; ++s) {
      stage_pass<V>(pass.stages[s], load<V>(plan.half + s * lanes + lane), load<V>(plan.per_half + s * lanes + lane), plan.stages[s].count,
                    x + plan.stages[s].first * lanes, before);
      if (s == plan.decided) go_to_rest<V>(plan, pass, lane, before);
    }
    lay<V>(plan, pass, lane, adults, x);
  }
}

template <class V>
[[gnu::always_inline]] inline void run_block(const Plan& plan) {
  for (std::size_t lane = 0; lane < lanes; lane += width<V>) run_lanes<V>(plan, lane);
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
  void (*run)(const Plan&);
  void (*flush)(float*, std::size_t);
  void (*totals)(const LifeStage*, std::size_t, const float*, float*);
};

void run_baseline(const Plan& plan) { run_block<Four>(plan); }
void flush_baseline(float* x, std::size_t count) { flush(x, count); }
void totals_baseline(const LifeStage* stages, std::size_t count, const float* x, float* out) { totals<Four>(stages, count, x, out); }
#if LEAFTURN_X86_LANES
#if defined(__clang__)
#define LEAFTURN_512 [[gnu::target("avx512f")]]
#else
#define LEAFTURN_512 [[gnu::target("avx512f,prefer-vector-width=512")]]
#endif
[[gnu::target("avx2")]] void run_avx2(const Plan& plan) { run_block<Eight>(plan); }
[[gnu::target("avx2")]] void flush_avx2(float* x, std::size_t count) { flush(x, count); }
[[gnu::target("avx2")]] void totals_avx2(const LifeStage* stages, std::size_t count, const float* x, float* out) {
  totals<Eight>(stages, count, x, out);
}
LEAFTURN_512 void run_avx512(const Plan& plan) { run_block<Sixteen>(plan); }
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

void advance_block(const BlockRun& block, Lanes used) {
  const Life& life = *block.life;
  constexpr std::size_t usual_stages = 16;  // dossiers have at most ten
  const std::size_t each = life.stages.size() * lanes;
  alignas(64) std::array<float, 2 * usual_stages * lanes> usual;
  Lanes16 more;
  if (2 * each > usual.size()) more.resize(2 * each);
  Plan plan{};
  plan.half = more.empty() ? usual.data() : more.data();
  plan.per_half = plan.half + each;
  plan.stages = life.stages.data();
  plan.stage_count = life.stages.size();
  plan.substages = life.substages;
  plan.laying = life.laying;
  plan.decided = life.rest_decided && block.resting_share > 0.0F ? *life.rest_decided : life.stages.size();
  plan.passes = block.run->passes.data();
  plan.pass_count = block.run->passes.size();
  plan.resting_share = block.resting_share;
  plan.hazard = block.hazard.data();
  plan.young = block.young.data();
  plan.laid = block.laid.data();
  plan.resting = block.resting.empty() ? nullptr : block.resting.data();
  plan.x = block.x.data();
  loops_for(used).run(plan);
}

void flush_tiny(std::span<float> x, Lanes used) { loops_for(used).flush(x.data(), x.size()); }

void stage_totals(const Life& life, std::span<const float> x, std::span<float> out, Lanes used) {
  loops_for(used).totals(life.stages.data(), life.stages.size(), x.data(), out.data());
}

}  // namespace leafturn::population
