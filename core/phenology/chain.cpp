#include "core/phenology/chain.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::phenology {
namespace {

constexpr double left_out = 1e-9;     // of a step's Poisson weights; given to the last term, so nothing is lost
constexpr double negligible = 1e-13;  // shares below become zero: they mean nothing, and denormal numbers are slow
constexpr double least_uniform_rate = 0.05;

/// One jump and one term of the sum: sum += weight·term, next = P·term, for substages first … last whose row before `first` is empty.
void jump(const double* __restrict term, double* __restrict next, double* __restrict sum, const double* __restrict stay,
          const double* __restrict pass, double weight, std::size_t first, std::size_t last) {
  sum[first] += weight * term[first];
  next[first] = stay[first] * term[first];
  for (std::size_t i = first + 1; i <= last; ++i) {
    sum[i] += weight * term[i];
    next[i] = stay[i] * term[i] + pass[i - 1] * term[i - 1];
  }
}

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
  leaving_.assign(substages_.size(), 0.0);
  low_ = free_;
}

void Chain::place(std::size_t substage, double share) {
  now_[substage] += share;
  low_ = std::min(low_, substage);
  high_ = std::max(high_, substage);
}

void Chain::place_evenly(std::size_t stage, double share) { place_evenly(stage, share, 0, static_cast<std::size_t>(substages_[stage])); }

void Chain::place_evenly(std::size_t stage, double share, std::size_t first, std::size_t count) {
  if (share <= 0.0) return;
  for (std::size_t i = first; i < first + count; ++i) place(first_[stage] + i, share / static_cast<double>(count));
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

bool Chain::empty() const { return low_ >= free_ && !bound_walking_; }

void Chain::weigh(double fastest) {
  weights_.clear();
  double weight = num::exp(-fastest);
  double beyond = 1.0 - weight;
  for (int n = 0; beyond >= left_out; ++n) {
    weights_.push_back({weight, beyond / fastest});
    weight *= fastest / (n + 1);
    beyond = std::max(0.0, beyond - weight);
  }
  weights_.push_back({weight + beyond, 0.0});
}

void Chain::spread_rates(double fastest, std::size_t low, std::size_t high) {
  for (std::size_t s = 0; s < substages_.size(); ++s) {
    const double p = leaving_[s] / fastest;
    const auto fill = [&](std::size_t from, std::size_t to) {
      for (std::size_t i = from; i < to; ++i) {
        pass_[i] = p;
        stay_[i] = 1.0 - p;
      }
    };
    fill(std::max(low, first_[s]), std::min(high + 1, first_[s + 1]));
    if (rest_ && s > rest_->decided && s < rest_->rests) {
      const std::size_t shift = free_ - first_[rest_->decided + 1];
      fill(first_[s] + shift, first_[s + 1] + shift);
    }
  }
}

void Chain::note_flow(ChainFlow& flow, double stay_time, double bound_share, std::size_t low, std::size_t top) const {
  const std::size_t stages = substages_.size();
  for (std::size_t s = 0; s + 1 < stages; ++s) {
    const std::size_t last = first_[s + 1] - 1;
    if (last >= low && last <= top) {
      const bool rests_here = rest_ && s == rest_->decided && rest_->rests <= s;
      flow.entered[s + 1] += (rests_here ? 1.0 - bound_share : 1.0) * leaving_[s] * stay_time * term_[last];
    }
    if (rest_ && s > rest_->decided && s < rest_->rests)
      flow.entered[s + 1] += leaving_[s] * stay_time * term_[last + free_ - first_[rest_->decided + 1]];
  }
  double last_stage = 0.0;
  for (std::size_t i = std::max(low, first_[stages - 1]); i <= top; ++i) last_stage += term_[i];
  flow.last_aged += leaving_[stages - 1] / substages_[stages - 1] * stay_time * last_stage;
}

void Chain::advance(const ChainStep& step, ChainFlow& flow) {
  const std::size_t stages = substages_.size();
  flow.entered.assign(stages, 0.0);
  flow.entered[step.inflow_stage] = step.inflow;
  flow.last_aged = 0.0;
  if (empty() && step.inflow <= 0.0) return;

  // Rate of leaving a substage, per step.
  double fastest = 0.0;
  for (std::size_t s = 0; s < stages; ++s) {
    leaving_[s] = substages_[s] * step.rate_per_day[s] * step.hours / 24.0;
    fastest = std::max(fastest, leaving_[s]);
  }
  if (fastest <= 0.0) {
    if (step.inflow > 0.0) place(first_[step.inflow_stage], step.inflow);
    return;
  }
  fastest = std::max(fastest, least_uniform_rate);
  weigh(fastest);

  // Only substages between the hindmost and as far as one jump per term can reach take part.
  const std::size_t entry = first_[step.inflow_stage];
  const std::size_t low = step.inflow > 0.0 ? std::min(low_, entry) : std::min(low_, free_ - 1);
  std::size_t top = std::min(step.inflow > 0.0 ? std::max(high_, entry) : high_, free_ - 1);
  const std::size_t reach = std::min(top + weights_.size(), free_ - 1);
  spread_rates(fastest, low, reach);
  const auto clear = [&](std::vector<double>& v) {
    std::fill(v.begin() + static_cast<std::ptrdiff_t>(low), v.begin() + static_cast<std::ptrdiff_t>(reach) + 1, 0.0);
    std::fill(v.begin() + static_cast<std::ptrdiff_t>(free_), v.end(), 0.0);
  };
  clear(next_);
  clear(sum_);
  for (std::size_t i = low; i <= reach; ++i) term_[i] = now_[i];
  for (std::size_t i = free_; i < now_.size(); ++i) term_[i] = now_[i];

  const double bound_share = rest_ ? step.bound_share : 0.0;
  const std::size_t decided_last = rest_ ? first_[rest_->decided + 1] - 1 : free_;
  const bool has_bound = now_.size() > free_;
  double resting_term = resting_;
  double resting_sum = 0.0;
  for (const auto& [weight, stay_time] : weights_) {
    resting_sum += weight * resting_term;
    if (stay_time > 0.0) note_flow(flow, stay_time, bound_share, low, top);
    top = std::min(top + 1, reach);
    jump(term_.data(), next_.data(), sum_.data(), stay_.data(), pass_.data(), weight, low, top);
    double parting = 0.0;
    if (decided_last >= low && decided_last < top) {
      parting = bound_share * pass_[decided_last] * term_[decided_last];
      next_[decided_last + 1] = std::max(0.0, next_[decided_last + 1] - parting);
    }
    if (step.inflow > 0.0) next_[entry] += step.inflow / fastest;
    if (has_bound) {
      jump(term_.data(), next_.data(), sum_.data(), stay_.data(), pass_.data(), weight, free_, now_.size() - 1);
      next_[free_] += parting;
      resting_term += pass_.back() * term_.back();
    } else {
      resting_term += parting;
    }
    std::swap(term_, next_);
  }
  const auto keep = [&](std::size_t i) { now_[i] = sum_[i] > negligible ? sum_[i] : 0.0; };
  for (std::size_t i = low; i <= reach; ++i) keep(i);
  low_ = low;
  high_ = reach;
  while (low_ < free_ && now_[low_] <= 0.0) ++low_;
  while (high_ > low_ && now_[high_] <= 0.0) --high_;
  if (low_ >= free_) high_ = 0;
  bound_walking_ = false;
  for (std::size_t i = free_; i < now_.size(); ++i) {
    keep(i);
    bound_walking_ = bound_walking_ || now_[i] > 0.0;
  }
  resting_ = resting_sum;
}

}  // namespace leafturn::phenology
