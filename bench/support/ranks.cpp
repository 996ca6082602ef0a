#include "bench/support/ranks.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/special.hpp"

namespace leafturn::bench {

std::size_t rank_among(double truth, std::span<const double> draws, double u) {
  std::size_t below = 0;
  std::size_t same = 0;
  for (const double x : draws) {
    if (x < truth) {
      ++below;
    } else if (!(x > truth)) {
      ++same;
    }
  }
  return below + static_cast<std::size_t>(u * static_cast<double>(same + 1));
}

std::size_t rank_by_weight(double truth, std::span<const double> values, std::span<const double> weights, std::size_t draws, double u) {
  double below = 0.0;
  double same = 0.0;
  double total = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    total += weights[i];
    if (values[i] < truth) {
      below += weights[i];
    } else if (!(values[i] > truth)) {
      same += weights[i];
    }
  }
  const double at = (below + u * same) / total * static_cast<double>(draws + 1);
  return std::min(static_cast<std::size_t>(at), draws);
}

RankHistogram::RankHistogram(std::size_t draws, std::size_t bins) : draws_{draws}, counts_(bins, 0), share_(bins, 0.0) {
  for (std::size_t rank = 0; rank <= draws; ++rank) share_[bin_of(rank)] += 1.0 / static_cast<double>(draws + 1);
}

std::size_t RankHistogram::bin_of(std::size_t rank) const { return std::min(rank, draws_) * counts_.size() / (draws_ + 1); }

void RankHistogram::add(std::size_t rank) {
  ++counts_[bin_of(rank)];
  ++total_;
  const double x = 2.0 * (static_cast<double>(std::min(rank, draws_)) + 0.5) / static_cast<double>(draws_ + 1) - 1.0;
  first_ += x;
  second_ += 0.5 * (3.0 * x * x - 1.0);
}

double RankHistogram::chi_square() const {
  double sum = 0.0;
  for (std::size_t i = 0; i < counts_.size(); ++i) {
    const double expected = share_[i] * static_cast<double>(total_);
    const double off = static_cast<double>(counts_[i]) - expected;
    if (expected > 0.0) sum += off * off / expected;
  }
  return sum;
}

double RankHistogram::p_value() const { return 1.0 - num::gamma_cdf(0.5 * static_cast<double>(counts_.size() - 1), 0.5 * chi_square()); }

// A Legendre polynomial of degree d of a uniform number on (−1, 1) has variance 1/(2d + 1).
double RankHistogram::bias_z() const { return total_ == 0 ? 0.0 : first_ * std::sqrt(3.0 / static_cast<double>(total_)); }
double RankHistogram::spread_z() const { return total_ == 0 ? 0.0 : second_ * std::sqrt(5.0 / static_cast<double>(total_)); }

}  // namespace leafturn::bench
