#include "core/population/kernel.hpp"

#include <algorithm>
#include <array>
#include <cstring>

#if defined(__x86_64__) && defined(__GNUC__)
#define LEAFTURN_X86_LANES 1
#else
#define LEAFTURN_X86_LANES 0
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

// exp(−y) for 0 ≤ y ≤ most_hazard/2, relative error below 2e-5 at the far end and 5e-7 for y ≤ 1; exactly 1 at 0. Comparisons so that a
// negative y counts as 0.
template <class V>
[[gnu::always_inline]] inline V lives_through(V y) {
  const V zero = V{};
  const V most = zero + 0.5F * most_hazard;
  y = y > zero ? y : zero;
  y = y < most ? y : most;
  const V z = y * -0.125F;
  V e = z * (1.0F / 720.0F) + (1.0F / 120.0F);
  e = e * z + (1.0F / 24.0F);
  e = e * z + (1.0F / 6.0F);
  e = e * z + 0.5F;
  e = e * z + 1.0F;
  e = e * z + 1.0F;
  e = e * e;
  e = e * e;
  return e * e;
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
  float days_a_half_pass;
  float resting_share;
  const float* hazard;
  const float* young;
  float* laid;
  float* resting;
};

// What has been seen of the stages passed, for the next one: x(last), x(last − 1) before the pass with half of its deaths done, and x'(last)
// before the other half.
template <class V>
struct Before {
  V one, two, on;
};

template <class V>
[[gnu::always_inline]] inline void stage_pass(const StagePass& c, const V& half, std::size_t count, float* __restrict x, Before<V>& before) {
  const V both = half * half;
  const V stay = c.stay * both;
  const V one = c.one * both;
  const V two = c.two * both;
  const float on = c.on;
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
    for (std::size_t i = 2; i < count; ++i) {
      const V x3 = x2;
      x2 = x1;
      x1 = load<V>(x + i * lanes);
      y = (stay * x1 + one * x2 + two * x3) + on * y;
      store(x + i * lanes, y);
    }
    before.two = half * x2;
  }
  before.one = half * x1;
  before.on = y / half;
}

template <class V>
[[gnu::always_inline]] inline V stage_sum(const LifeStage& stage, const float* x) {
  V sum = load<V>(x + stage.first * lanes);
  for (std::size_t i = 1; i < stage.count; ++i) sum = sum + load<V>(x + (stage.first + i) * lanes);
  return sum;
}

template <class V>
[[gnu::always_inline]] inline void run_lanes(const Plan& plan, float* __restrict x, std::size_t lane) {
  std::array<V, most_stages> half;
  for (std::size_t s = 0; s < plan.stage_count; ++s)
    half[s] = lives_through<V>(load<V>(plan.hazard + s * lanes + lane) * plan.days_a_half_pass);
  const V young = load<V>(plan.young + lane);
  V laid = load<V>(plan.laid + lane);
  V resting = V{};
  float* const mine = x + lane;
  for (std::size_t p = 0; p < plan.pass_count; ++p) {
    const Pass& pass = plan.passes[p];
    const V adults = stage_sum<V>(plan.stages[plan.laying], mine);
    Before<V> before{V{}, V{}, V{}};
    for (std::size_t s = 0; s < plan.stage_count; ++s) {
      stage_pass<V>(pass.stages[s], half[s], plan.stages[s].count, mine + plan.stages[s].first * lanes, before);
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
    const V alive = half[0] * born;
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

void run_baseline(const Plan& plan, float* x) { run_block<Four>(plan, x); }
#if LEAFTURN_X86_LANES
[[gnu::target("avx2")]] void run_avx2(const Plan& plan, float* x) { run_block<Eight>(plan, x); }
[[gnu::target("avx512f")]] void run_avx512(const Plan& plan, float* x) { run_block<Sixteen>(plan, x); }
#endif

}  // namespace

void advance_block(const BlockRun& block, std::span<float> x, Lanes lanes_used) {
  const Life& life = *block.life;
  const Run& run = *block.run;
  Plan plan{};
  plan.stages = life.stages.data();
  plan.stage_count = std::min(life.stages.size(), most_stages);
  plan.substages = life.substages;
  plan.laying = life.laying;
  plan.decided = life.rest_decided && block.resting_share > 0.0F ? *life.rest_decided : life.stages.size();
  plan.passes = run.passes.data();
  plan.pass_count = run.passes.size();
  plan.days_a_half_pass = 0.5F * run.days / static_cast<float>(run.passes.size());
  plan.resting_share = block.resting_share;
  plan.hazard = block.hazard.data();
  plan.young = block.young.data();
  plan.laid = block.laid.data();
  plan.resting = block.resting.empty() ? nullptr : block.resting.data();
  auto* go = run_baseline;
#if LEAFTURN_X86_LANES
  if (lanes_used == Lanes::avx2) go = run_avx2;
  if (lanes_used == Lanes::avx512) go = run_avx512;
#else
  static_cast<void>(lanes_used);
#endif
  go(plan, x.data());
}

}  // namespace leafturn::population
