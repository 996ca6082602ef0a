#include "bench/gardens/baselines.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace leafturn::bench {
namespace {

using population::NegativeBinomial;

constexpr double visits_of_garden = 2.0;
constexpr double most_growth = 0.25;  // a day
constexpr double growth_sd = 0.05;    // of a prior around none
constexpr double longest_step = 15.0;
constexpr double least_k = 0.2, most_k = 20.0;

// k from pairs of (foretold mean, count): variance mean + mean²/k.
double k_of(const std::vector<std::pair<double, int>>& pairs) {
  if (pairs.size() < 4) return 1.0;
  double excess = 0.0;
  double squares = 0.0;
  for (const auto& [mean, count] : pairs) {
    excess += (count - mean) * (count - mean) - mean;
    squares += mean * mean;
  }
  return squares > 0.0 && excess > 0.0 ? std::clamp(squares / excess, least_k, most_k) : most_k;
}

double density(const PastCount& c) { return (c.count + 0.5) / c.plants; }

}  // namespace

std::vector<PastCount> past_counts(const decision::BriefRequest& request, const std::string& pest, const std::string& stage) {
  std::vector<PastCount> out;
  for (const auto& c : request.garden->counts) {
    if (c.what.pest != pest || c.what.stage != stage || c.what.plants < 1) continue;
    const CivilTime at = request.zone.civil(c.at);
    out.push_back({c.what.bed, at.date.day_of_year() + at.hour() / 24.0, c.what.plants, c.what.count});
  }
  return out;
}

Baselines::Baselines(std::vector<PastCount> counts) : counts_{std::move(counts)} {
  std::vector<std::pair<double, int>> pairs;
  for (std::size_t i = 1; i < counts_.size(); ++i) pairs.emplace_back(std::max(0.02, mean_before(i)), counts_[i].count);
  k_mean_ = k_of(pairs);
  fit_walk();
}

// What the season's mean would have foretold of a count.
double Baselines::mean_before(std::size_t count) const {
  double all = 0.0, all_plants = 0.0, own = 0.0, own_plants = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    all += counts_[i].count;
    all_plants += counts_[i].plants;
    if (counts_[i].bed != counts_[count].bed) continue;
    own += counts_[i].count;
    own_plants += counts_[i].plants;
  }
  const double garden = (all + 0.5) / (all_plants + 1.0);
  const double weight = visits_of_garden * all_plants / static_cast<double>(count);
  return (own + garden * weight) / (own_plants + weight) * counts_[count].plants;
}

NegativeBinomial Baselines::season_mean(const std::string& bed, int plants) const {
  Baselines with = *this;
  with.counts_.push_back({bed, 0.0, plants, 0});
  if (counts_.empty()) return {0.05 * plants, 1.0};
  return {std::max(0.02, with.mean_before(counts_.size())), k_mean_};
}

void Baselines::fit_walk() {
  std::map<std::string, const PastCount*> last;
  double sum_xy = 0.0, sum_xx = 0.0;
  std::vector<std::pair<double, double>> steps;  // days, change of the logarithm
  for (const PastCount& c : counts_) {
    if (const auto before = last.find(c.bed); before != last.end()) {
      const double days = c.day - before->second->day;
      const bool seen = c.count > 0 || before->second->count > 0;
      if (days > 0.5 && days < longest_step && seen) {
        const double change = std::log(density(c)) - std::log(density(*before->second));
        steps.emplace_back(days, change);
        sum_xy += change;
        sum_xx += days;
      }
    }
    last[c.bed] = &c;
  }
  if (steps.empty()) return;
  // Changes of a walk have variance proportional to the days: the mean change a day, with the prior's precision.
  double squares = 0.0;
  const double raw = sum_xy / sum_xx;
  for (const auto& [days, change] : steps) squares += (change - raw * days) * (change - raw * days) / days;
  wandering_ = std::clamp((squares + 0.1) / (static_cast<double>(steps.size()) + 1.0), 0.005, 1.0);
  growth_ = std::clamp(sum_xy / wandering_ / (sum_xx / wandering_ + 1.0 / (growth_sd * growth_sd)), -most_growth, most_growth);
  // Half of the wandering is the counting's own scatter.
  wandering_ *= 0.5;
  k_walk_ = std::clamp(2.0 * k_mean_, least_k, most_k);
}

std::optional<NegativeBinomial> Baselines::random_walk(const std::string& bed, double day, int plants) const {
  const PastCount* last = nullptr;
  for (const PastCount& c : counts_)
    if (c.bed == bed) last = &c;
  if (last == nullptr) return std::nullopt;
  const double days = std::max(0.0, day - last->day);
  const double mean = density(*last) * std::exp(std::clamp(growth_ * days, -3.0, 3.0)) * plants;
  const double doubt = std::exp(std::min(3.0, wandering_ * days)) - 1.0;
  return NegativeBinomial{mean, 1.0 / (1.0 / k_walk_ + doubt)};
}

}  // namespace leafturn::bench
