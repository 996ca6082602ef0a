#include "tests/population/chain_ode.hpp"

namespace leafturn::test {

ChainOde::ChainOde(const population::Life& life) : life_{&life}, x_(life.substages, 0.0), leave_(life.substages), die_(life.substages) {}

double ChainOde::in_stage(std::size_t stage) const {
  double sum = 0.0;
  for (std::size_t i = 0; i < life_->stages[stage].count; ++i) sum += x_[life_->stages[stage].first + i];
  return sum;
}

double ChainOde::slope(const std::vector<double>& x, std::vector<double>& out) const {
  double born = 0.0;
  const auto& adults = life_->stages[life_->laying];
  for (std::size_t i = adults.first; i < adults.first + adults.count; ++i) born += lay_ * x[i];
  double coming = born;
  for (std::size_t i = 0; i < x.size(); ++i) {
    out[i] = coming - (leave_[i] + die_[i]) * x[i];
    coming = leave_[i] * x[i];
  }
  return born;
}

void ChainOde::hour(const std::vector<double>& rates, const std::vector<double>& deaths, double young) {
  for (std::size_t s = 0; s < life_->stages.size(); ++s)
    for (std::size_t i = 0; i < life_->stages[s].count; ++i) {
      leave_[life_->stages[s].first + i] = rates[s] * static_cast<double>(life_->stages[s].count);
      die_[life_->stages[s].first + i] = deaths[s];
    }
  lay_ = young * rates[life_->laying];
  const double h = 1.0 / 1440.0;
  const std::size_t n = x_.size();
  std::vector<double> a(n), b(n), c(n), d(n), at(n);
  for (int minute = 0; minute < 60; ++minute) {
    const auto from = [&](const std::vector<double>& k, double step) {
      for (std::size_t i = 0; i < n; ++i) at[i] = x_[i] + step * k[i];
    };
    const double la = slope(x_, a);
    from(a, 0.5 * h);
    const double lb = slope(at, b);
    from(b, 0.5 * h);
    const double lc = slope(at, c);
    from(c, h);
    const double ld = slope(at, d);
    for (std::size_t i = 0; i < n; ++i) x_[i] += h / 6.0 * (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]);
    laid_ += h / 6.0 * (la + 2.0 * lb + 2.0 * lc + ld);
  }
}

}  // namespace leafturn::test
