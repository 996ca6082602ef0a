#include "core/population/observe.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

// A stage out of sight is met now and then.
constexpr double hardly_seen = 0.02;
constexpr double least_k = 0.02, most_k = 200.0;
constexpr double unpublished_k = 1.0;  // middle of k between plants where no dispersion was published

// k between plants at a mean per plant, of the published dispersion that fits the stages best.
double published_k(const Life& life, const std::vector<std::size_t>& stages, double mean) {
  const pest::Dispersion* best = nullptr;
  for (const pest::Dispersion& d : life.dossier->dispersions) {
    if (d.unit != "plant") continue;
    const auto meant = pest::stages_for(*life.dossier, d.stage).stages;
    const bool touches =
        std::any_of(stages.begin(), stages.end(), [&](std::size_t s) { return std::find(meant.begin(), meant.end(), s) != meant.end(); });
    if (touches && best == nullptr) best = &d;
  }
  if (best == nullptr) return unpublished_k;
  const double m = std::max(mean, 0.01);
  double variance = m + m * m / unpublished_k;
  if (best->kind == pest::Dispersion::Kind::k) return best->a;
  if (best->kind == pest::Dispersion::Kind::taylor) variance = best->a * num::pow(m, best->b);
  if (best->kind == pest::Dispersion::Kind::iwao) variance = m * (best->a + 1.0) + (best->b - 1.0) * m * m;
  return variance > m * 1.001 ? m * m / (variance - m) : most_k;
}

}  // namespace

Looking::Looking(const Course& course, const Sighting& sighting) : life_{&course.life()}, sighting_{sighting} {
  const World& world = course.world();
  const std::int32_t day = std::clamp(sighting.at / steps_a_day, 0, world.days - 1);
  double hosts = static_cast<double>(world.on(day, sighting.bed).plants);
  if (!(hosts > 0.0) && day > 0) hosts = static_cast<double>(world.on(day - 1, sighting.bed).plants);
  hosts_ = std::max(hosts, 1.0);
  for (const std::size_t s : sighting.stages) seen_.emplace_back(s, std::max(hardly_seen, life_->stages[s].detection));
}

double Looking::individuals_in_count() const {
  double seen = 0.0;
  for (const auto& [stage, share] : seen_) seen += share;
  return hosts_ * sighting_.in_one / (sighting_.plants * seen / static_cast<double>(seen_.size()));
}

// Of one count. Far above any that could be taken.
constexpr float most_expected = 1e9F;

void Looking::ask(const Members& members, std::size_t block, Expected& out) const {
  Lane sum{};
  const std::span<const float> x = members.state.bed(block, sighting_.bed);
  for (const auto& [s, share] : seen_) {
    const LifeStage& stage = life_->stages[s];
    const auto part = static_cast<float>(share);
    for (std::size_t i = stage.first; i < stage.first + stage.count; ++i)
      for (std::size_t l = 0; l < lanes; ++l) sum[l] += part * x[i * lanes + l];
  }
  const auto per_individual = static_cast<float>(sighting_.plants / (hosts_ * sighting_.in_one));
  const auto stray = static_cast<float>(stray_per_plant * sighting_.plants);
  // A member that has run away is as good as none; it must not carry the others off with an infinite mean.
  for (std::size_t l = 0; l < lanes; ++l) {
    const float mean = sum[l] * per_individual + stray;
    out.mean[block * lanes + l] = mean < most_expected ? mean : most_expected;
  }
}

void Looking::spread(const Members& members, std::span<const double> weights, Expected& out) const {
  double mean = 0.0;
  for (std::size_t i = 0; i < out.mean.size(); ++i) mean += weights[i] * static_cast<double>(out.mean[i]);
  const double between = published_k(*life_, sighting_.stages, mean / sighting_.plants);
  out.k.resize(out.mean.size());
  for (std::size_t block = 0; block < members.state.blocks(); ++block) {
    const Believed& belief = members.believed[members.index(block, sighting_.bed)];
    for (std::size_t l = 0; l < lanes; ++l) {
      const double k = std::clamp(between * static_cast<double>(belief.clumping[l]), least_k, most_k);
      out.k[block * lanes + l] = static_cast<float>(1.0 / (1.0 / (sighting_.plants * k) + visit_spread * visit_spread));
    }
  }
}

void weigh(const Sighting& sighting, const Expected& expected, std::span<double> log_weights) {
  constexpr int steps = 4;  // of k, in a doubling
  constexpr int lowest = -8 * steps, highest = 10 * steps;
  constexpr double log_2 = 0.69314718055994531;
  std::array<double, highest - lowest + 1> constant;
  std::array<bool, highest - lowest + 1> known{};
  const double n = sighting.count;
  for (std::size_t i = 0; i < expected.mean.size(); ++i) {
    const int step =
        std::clamp(static_cast<int>(std::floor(num::log(static_cast<double>(expected.k[i])) * (steps / log_2) + 0.5)), lowest, highest);
    const double k = num::exp(step * (log_2 / steps));
    const auto at = static_cast<std::size_t>(step - lowest);
    if (!known[at]) {
      constant[at] = num::log_gamma(n + k) - num::log_gamma(k) - num::log_gamma(n + 1.0) + k * num::log(k);
      known[at] = true;
    }
    const double mean = static_cast<double>(expected.mean[i]);
    log_weights[i] += constant[at] + n * num::log(mean) - (k + n) * num::log(k + mean);
  }
}

}  // namespace leafturn::population
