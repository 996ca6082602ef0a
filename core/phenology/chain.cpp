#include "core/phenology/chain.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::phenology {
namespace {

constexpr double left_out = 1e-12;    // of a step's Poisson weights; given to the last term, so nothing is lost
constexpr double negligible = 1e-30;  // shares below become zero: denormal numbers are slow and mean nothing
constexpr double least_uniform_rate = 0.05;

}  // namespace

Chain::Chain(std::vector<int> substages, std::optional<RestRule> rest) : substages_{std::move(substages)}, rest_{rest} {
  for (const int k : substages_) {
    first_.push_back(free_);
    free_ += static_cast<std::size_t>(k);
  }
  first_.push_back(free_);
  // The bound walk a chain of their own from the stage after `decided` up to `rests`: the same substages, kept behind the free ones.
  std::size_t bound = 0;
  if (rest_)
    for (std::size_t s = rest_->decided + 1; s < rest_->rests; ++s) bound += static_cast<std::size_t>(substages_[s]);
  for (auto* v : {&now_, &term_, &next_, &sum_, &stay_, &pass_}) v->assign(free_ + bound, 0.0);
}

void Chain::place_evenly(std::size_t stage, double share) {
  for (std::size_t i = first_[stage]; i < first_[stage + 1]; ++i) now_[i] += share / substages_[stage];
}

double Chain::in_stage(std::size_t stage) const {
  double share = 0.0;
  for (std::size_t i = first_[stage]; i < first_[stage + 1]; ++i) share += now_[i];
  if (rest_ && stage > rest_->decided && stage < rest_->rests) {
    const std::size_t shift = free_ - first_[rest_->decided + 1];
    for (std::size_t i = first_[stage]; i < first_[stage + 1]; ++i) share += now_[i + shift];
  }
  return share;
}

bool Chain::empty() const {
  return std::all_of(now_.begin(), now_.end(), [](double share) { return share <= 0.0; });
}

void Chain::advance(const ChainStep& step, ChainFlow& flow) {
  const std::size_t stages = substages_.size();
  flow.entered.assign(stages, 0.0);
  flow.entered[step.inflow_stage] = step.inflow;
  flow.last_aged = 0.0;
  const bool someone = !empty();
  if (!someone && step.inflow <= 0.0) return;

  // Rate of leaving a substage, per step.
  double fastest = least_uniform_rate;
  const auto leaving = [&](std::size_t s) { return substages_[s] * step.rate_per_day[s] * step.hours / 24.0; };
  for (std::size_t s = 0; s < stages; ++s) fastest = std::max(fastest, leaving(s));

  // Only substages between the hindmost and as far as one jump per term can be reached take part.
  const bool has_bound = now_.size() > free_;
  std::size_t low = free_;
  std::size_t high = 0;
  for (std::size_t i = 0; i < free_; ++i)
    if (now_[i] > 0.0) {
      low = std::min(low, i);
      high = i;
    }
  if (step.inflow > 0.0) {
    low = std::min(low, first_[step.inflow_stage]);
    high = std::max(high, first_[step.inflow_stage]);
  }
  const std::size_t decided_last = rest_ ? first_[rest_->decided + 1] - 1 : free_;
  const std::size_t bound_from = rest_ ? rest_->decided + 1 : stages;
  const std::size_t shift = rest_ ? free_ - first_[bound_from] : 0;

  for (std::size_t s = 0; s < stages; ++s) {
    const double p = leaving(s) / fastest;
    std::fill(pass_.begin() + static_cast<std::ptrdiff_t>(first_[s]), pass_.begin() + static_cast<std::ptrdiff_t>(first_[s + 1]), p);
  }
  for (std::size_t i = free_; i < now_.size(); ++i) pass_[i] = pass_[i - shift];

  const double bound_share = rest_ ? step.bound_share : 0.0;
  std::copy(now_.begin(), now_.end(), term_.begin());
  std::fill(next_.begin(), next_.end(), 0.0);
  std::fill(sum_.begin(), sum_.end(), 0.0);
  double weight = num::exp(-fastest);
  double beyond = 1.0 - weight;
  double resting_term = resting_;
  double resting_sum = 0.0;
  for (int n = 0;; ++n) {
    if (beyond < left_out) {
      weight += beyond;
      beyond = 0.0;
    }
    const std::size_t top = std::min(high + static_cast<std::size_t>(n), free_ == 0 ? 0 : free_ - 1);
    for (std::size_t i = low; i <= top; ++i) sum_[i] += weight * term_[i];
    for (std::size_t i = free_; i < now_.size(); ++i) sum_[i] += weight * term_[i];
    resting_sum += weight * resting_term;
    // ∫ over the step of Pⁿx: the chance that the n-th jump has come, over Λ.
    const double stay_time = beyond / fastest;
    if (stay_time <= 0.0) break;
    for (std::size_t s = 0; s < stages; ++s) {
      const std::size_t last = first_[s + 1] - 1;
      if (s + 1 < stages && last >= low && last <= top) {
        const double out = leaving(s) * stay_time * term_[last];
        const bool rests_here = rest_ && s == rest_->decided && rest_->rests <= s;
        flow.entered[s + 1] += rests_here ? (1.0 - bound_share) * out : out;
      }
      if (has_bound && s >= bound_from && s < rest_->rests) flow.entered[s + 1] += leaving(s) * stay_time * term_[last + shift];
    }
    for (std::size_t i = std::max(low, first_[stages - 1]); i <= top; ++i)
      flow.last_aged += step.rate_per_day[stages - 1] * step.hours / 24.0 * stay_time * term_[i];

    // One jump: term ← P·term.
    const std::size_t reach = std::min(top + 1, free_ - 1);
    const double parting =
        decided_last < free_ && decided_last >= low && decided_last <= top ? bound_share * pass_[decided_last] * term_[decided_last] : 0.0;
    next_[low] = (1.0 - pass_[low]) * term_[low];
    for (std::size_t i = low + 1; i <= reach; ++i) next_[i] = (1.0 - pass_[i]) * term_[i] + pass_[i - 1] * term_[i - 1];
    if (decided_last + 1 < free_ && decided_last + 1 <= reach) next_[decided_last + 1] -= std::min(parting, next_[decided_last + 1]);
    if (step.inflow > 0.0) next_[first_[step.inflow_stage]] += step.inflow / fastest;
    if (has_bound) {
      for (std::size_t i = now_.size() - 1; i > free_; --i) next_[i] = (1.0 - pass_[i]) * term_[i] + pass_[i - 1] * term_[i - 1];
      next_[free_] = (1.0 - pass_[free_]) * term_[free_] + parting;
      resting_term += pass_.back() * term_.back();
    } else {
      resting_term += parting;
    }
    std::swap(term_, next_);
    weight *= fastest / (n + 1);
    beyond = std::max(0.0, beyond - weight);
  }
  for (std::size_t i = 0; i < now_.size(); ++i) now_[i] = sum_[i] > negligible ? sum_[i] : 0.0;
  resting_ = resting_sum;
}

}  // namespace leafturn::phenology
