#include "core/population/pool.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/population/assimilate.hpp"

namespace leafturn::population {
namespace {

// All set on the training gardens (docs/population.md).
constexpr double bed_forgets = 10.0;     // days in which a count loses two thirds of its weight for its own bed
constexpr double garden_forgets = 25.0;  // the same for what all beds together say
constexpr double whisper = 0.03;         // of another bed's count in this bed's mean
constexpr double belief_plants = 10.0;   // plants' worth of belief …
constexpr double belief_density = 0.01;  // … in so many a plant
constexpr double middle_k = 0.65;        // of counts around what counts alone say
constexpr double belief_in_k = 0.9;      // sd of its logarithm
constexpr double many = 2.0;             // counts expected from which k is another matter
constexpr double usual_age = 7.0;        // days between visits, which k is learned at
constexpr double wandering = 0.03;       // of 1/k a day beyond it
constexpr double oldest = 28.0;
constexpr double surge_growth = 0.75;  // share of the growth unhindered that a surge reaches
constexpr double surge_a_week = 0.07;  // chance of one
constexpr double surge_k = 0.6;
constexpr double surge_half = 5.0;       // expected count at which a surge counts half: many are no surprise
constexpr double belief_in_alone = 0.5;  // sd of the logit of the share of counts alone
constexpr double middle_alone = 0.65;
constexpr double belief_in_surges = 1.2;  // sd of the logarithm of their scale
constexpr double forgets = 0.995;         // a count
constexpr double counts_are_alike = 0.8;  // counts of one garden say less than so many of different ones

// How such forecasts fell in the training gardens: logarithms of a and b, by nothing, days ahead, mean and whether it is above one.
constexpr std::array<double, 4> set_right_a{-0.208, -0.108, 0.08, 0.825};
constexpr std::array<double, 4> set_right_b{-0.098, -0.135, 0.106, -0.018};
constexpr double fitted_up_to = 600.0;  // expected counts beyond which two in four hundred of those forecasts lay

double logit(double p) { return num::log(p / (1.0 - p)); }
double square(double x) { return x * x; }

template <std::size_t n>
void forget(std::array<double, n>& support) {
  for (double& s : support) s *= forgets;
}

double faded(double days, double forgotten_in) { return num::exp(-days / forgotten_in); }
double days_between(StepNumber from, StepNumber to) { return static_cast<double>(std::max(0, to - from)) / steps_a_day; }

}  // namespace

void CountsAlone::Sum::add(const Sighting& s, double days) {
  const double left = faded(days_between(at, s.at), days);
  count = left * count + s.count;
  plants = left * plants + s.plants;
  at = s.at;
}
double CountsAlone::Sum::left(StepNumber now, double days) const { return faded(days_between(at, now), days); }

double CountsAlone::density(const Sighting& s, double left) const {
  double count = belief_plants * belief_density;
  double plants = belief_plants;
  if (const auto found = sums_.find({s.stages, s.in_one > 1.0}); found != sums_.end()) {
    const Sum& own = found->second.in_bed[s.bed];
    const Sum& all = found->second.lately;
    const double own_left = own.left(s.at, bed_forgets);
    const double all_left = all.left(s.at, bed_forgets);
    count += (1.0 - whisper) * own_left * left * own.count + whisper * all_left * all.count;
    plants += (1.0 - whisper) * own_left * own.plants + whisper * all_left * all.plants;
  }
  return count / plants;
}

double CountsAlone::k(double mean) const {
  std::array<double, ks.size()> belief{};
  const auto& scores = support_[mean < many ? 0 : 1];
  for (std::size_t i = 0; i < ks.size(); ++i) belief[i] = scores[i] - 0.5 * square(num::log(ks[i] / middle_k) / belief_in_k);
  if (!normalise(belief, belief)) return middle_k;
  double log_k = 0.0;
  for (std::size_t i = 0; i < ks.size(); ++i) log_k += belief[i] * num::log(ks[i]);
  return num::exp(log_k);
}

bool CountsAlone::knows(const Sighting& s) const { return sums_.contains({s.stages, s.in_one > 1.0}); }

NegativeBinomial CountsAlone::expect(const Sighting& s, double left) const {
  const double mean = density(s, left) * s.plants;
  return {mean, 1.0 / (1.0 / k(mean) + wandering * std::max(0.0, age(s) - usual_age))};
}

double CountsAlone::anywhere(const Sighting& s) const {
  const auto found = sums_.find({s.stages, s.in_one > 1.0});
  if (found == sums_.end()) return 0.0;
  const Sum& all = found->second.of_late;
  const double left = all.left(s.at, garden_forgets);
  return s.plants * (left * all.count + belief_plants * belief_density) / (left * all.plants + belief_plants);
}

double CountsAlone::age(const Sighting& s) const { return last_[s.bed] ? std::min(oldest, days_between(*last_[s.bed], s.at)) : oldest; }

void CountsAlone::score(const Sighting& s, double left) {
  const double mean = density(s, left) * s.plants;
  auto& scores = support_[mean < many ? 0 : 1];
  const double more = wandering * std::max(0.0, age(s) - usual_age);
  forget(scores);
  for (std::size_t i = 0; i < ks.size(); ++i)
    scores[i] += counts_are_alike * std::max(-20.0, log_probability({mean, 1.0 / (1.0 / ks[i] + more)}, s.count));
}

void CountsAlone::add(const Sighting& s, double left) {
  Sums& sums = sums_.try_emplace({s.stages, s.in_one > 1.0}, Sums{std::vector<Sum>(last_.size()), {}, {}}).first->second;
  sums.in_bed[s.bed].count *= left;
  sums.in_bed[s.bed].add(s, bed_forgets);
  sums.lately.add(s, bed_forgets);
  sums.of_late.add(s, garden_forgets);
  last_[s.bed] = s.at;
}

double left_by(std::span<const Deed> deeds, const Sighting& s, StepNumber from) {
  double left = 1.0;
  for (const Deed& deed : deeds) {
    if (deed.bed != s.bed || deed.at < from || deed.at >= s.at) continue;
    if (deed.kind == Deed::Kind::pull) left = 0.0;
    if (deed.kind != Deed::Kind::kill) continue;
    double taken = 0.0;
    for (const std::size_t stage : s.stages)
      taken += 0.5 * static_cast<double>(deed.low[stage] + deed.high[stage]) / static_cast<double>(s.stages.size());
    left *= 1.0 - taken;
  }
  return left;
}

double Pool::left(const Sighting& s, std::span<const Deed> deeds) const {
  const auto looked = alone_.looked(s.bed);
  return looked ? left_by(deeds, s, *looked) : 1.0;
}

Pool::Pool(std::size_t beds, double growth_per_day) : alone_{beds}, growth_{std::clamp(growth_per_day, 0.02, 0.35)} {}

Pool::Others Pool::others(const Sighting& s, double left, double model_mean, double alone_share, double surge_scale) const {
  Others out;
  out.alone = alone_.expect(s, left);
  if (!alone_.knows(s)) alone_share = 0.0;
  const double mean = (1.0 - alone_share) * model_mean + alone_share * out.alone.mean;
  const double age = alone_.age(s);
  out.surge = {num::exp(std::min(4.0, surge_growth * growth_ * age)) * std::max(mean, left * alone_.anywhere(s)), surge_k};
  out.surge_share = std::min(0.5, surge_scale * surge_a_week * age / 7.0) * surge_half / (surge_half + mean);
  out.alone_share = alone_share * (1.0 - out.surge_share);
  return out;
}

Pool::Forecast Pool::of(const Sighting& s, std::vector<NegativeBinomial> model, std::span<const Deed> deeds, double days_ahead) const {
  double model_mean = 0.0;
  for (const NegativeBinomial& m : model) model_mean += m.mean / static_cast<double>(model.size());
  std::array<double, alone_shares.size() * surge_scales.size()> belief{};
  for (std::size_t a = 0; a < alone_shares.size(); ++a)
    for (std::size_t b = 0; b < surge_scales.size(); ++b)
      belief[a * surge_scales.size() + b] = support_[a][b] -
                                            0.5 * square((logit(alone_shares[a]) - logit(middle_alone)) / belief_in_alone) -
                                            0.5 * square(num::log(surge_scales[b]) / belief_in_surges);
  normalise(belief, belief);
  double alone_share = 0.0;
  double log_scale = 0.0;
  for (std::size_t a = 0; a < alone_shares.size(); ++a)
    for (std::size_t b = 0; b < surge_scales.size(); ++b) {
      alone_share += belief[a * surge_scales.size() + b] * alone_shares[a];
      log_scale += belief[a * surge_scales.size() + b] * num::log(surge_scales[b]);
    }
  const Others more = others(s, left(s, deeds), model_mean, alone_share, num::exp(log_scale));
  Forecast out{std::move(model), {}};
  const double of_model = 1.0 - more.alone_share - more.surge_share;
  out.weights.assign(out.members.size(), of_model / static_cast<double>(out.members.size()));
  out.members.push_back(more.alone);
  out.weights.push_back(more.alone_share);
  out.members.push_back(more.surge);
  out.weights.push_back(more.surge_share);
  double mean = 0.0;
  for (std::size_t i = 0; i < out.members.size(); ++i) mean += out.weights[i] * out.members[i].mean;
  const double far = num::log((std::max(0.0, days_ahead) + 1.0) / 7.0);
  const double high = num::log((std::min(mean, fitted_up_to) + 0.2) / 1.2);
  const auto by = [&](const std::array<double, 4>& fitted) {
    return num::exp(std::clamp(fitted[0] + fitted[1] * far + fitted[2] * high + fitted[3] * high / (1.0 + std::fabs(high)), -1.5, 1.5));
  };
  out.a = by(set_right_a);
  out.b = by(set_right_b);
  return out;
}

void Pool::score(const Sighting& s, double left, const std::vector<NegativeBinomial>& model) {
  double model_mean = 0.0;
  double by_model = 0.0;
  for (const NegativeBinomial& m : model) {
    model_mean += m.mean / static_cast<double>(model.size());
    by_model += probability(m, s.count) / static_cast<double>(model.size());
  }
  const double by_alone = probability(alone_.expect(s, left), s.count);
  for (std::size_t a = 0; a < alone_shares.size(); ++a) {
    forget(support_[a]);
    for (std::size_t b = 0; b < surge_scales.size(); ++b) {
      const Others more = others(s, left, model_mean, alone_shares[a], surge_scales[b]);
      const double chance = (1.0 - more.alone_share - more.surge_share) * by_model + more.alone_share * by_alone +
                            more.surge_share * probability(more.surge, s.count);
      support_[a][b] += counts_are_alike * num::log(std::max(1e-9, chance));
    }
  }
  alone_.score(s, left);
}

void Pool::learn(std::span<const Sighting> sightings, std::span<const std::vector<NegativeBinomial>> model, std::span<const Deed> deeds) {
  std::vector<double> lefts;
  for (const Sighting& s : sightings) lefts.push_back(left(s, deeds));
  for (std::size_t i = 0; i < model.size(); ++i) score(sightings[i], lefts[i], model[i]);
  for (std::size_t i = 0; i < sightings.size(); ++i) alone_.add(sightings[i], lefts[i]);
}

}  // namespace leafturn::population
