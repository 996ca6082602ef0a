#include "core/phenology/rate.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <variant>

#include "core/base/elementary.hpp"
#include "core/phenology/rate_table.hpp"

namespace leafturn::phenology {

namespace {

// The forms, per day at `t` °C; what is below 0 or no number is made 0 by rate_per_day.
struct RateAt {
  Temperature at;
  double t = at.celsius();

  double operator()(const pest::LinearRate& rate) const {
    const Temperature lower = rate.lower.value;
    if (!(at > lower) || (rate.lethal && at >= rate.lethal->value)) return 0.0;
    const Temperature felt = rate.upper ? std::min(at, rate.upper->value) : at;
    const double constant = rate.constant.value.celsius_days();
    return constant > 0.0 ? (felt - lower).kelvin() / constant : 0.0;
  }

  double operator()(const pest::BriereRate& rate) const {
    const double over = t - rate.lower.celsius();
    const double under = rate.upper.celsius() - t;
    if (!(over > 0.0 && under > 0.0 && t > 0.0 && rate.m > 0.0)) return 0.0;
    const double root = num::exactly_equal(rate.m, 2.0) ? num::sqrt(under) : num::pow(under, 1.0 / rate.m);
    return rate.scale * t * over * root;
  }

  // e^a − e^b without the difference of two infinities: falls are steep, so far above Tm it is −∞.
  static double rise_less_fall(double rho, double t, double tm, double delta) {
    if (!(delta > 0.0 && rho * delta < 1.0))
      return -std::numeric_limits<double>::infinity();  // the fall would be slower than the rise: no rate
    return num::exp(rho * t) * -num::expm1((tm - t) * (rho - 1.0 / delta));
  }

  double operator()(const pest::LactinRate& rate) const {
    return rise_less_fall(rate.rho, t, rate.upper.celsius(), rate.delta) + rate.lambda;
  }

  double operator()(const pest::LoganRate& rate) const {
    const double base = rate.base.celsius();
    return rate.psi * rise_less_fall(rate.rho, t - base, rate.upper.celsius() - base, rate.delta);
  }

  double operator()(const pest::Logan10Rate& rate) const {
    const double base = rate.base.celsius();
    if (!(rate.delta > 0.0)) return 0.0;
    const double rise = 1.0 / (1.0 + rate.k * num::exp(-rate.rho * (t - base)));
    return rate.alpha * (rise - num::exp((t - rate.upper.celsius()) / rate.delta));
  }

  double operator()(const pest::SchoolfieldRate& rate) const {
    constexpr double gas = 1.987;  // cal/(mol K), as in the paper; not the later value
    constexpr double reference = 298.15;
    const double kelvin = at.kelvin();
    if (!(kelvin > 0.0)) return 0.0;
    const double rise = rate.ha / gas * (1.0 / reference - 1.0 / kelvin);
    const auto exponent = [&](const std::optional<pest::SchoolfieldRate::Inactivation>& side) {
      return side ? side->enthalpy / gas * (1.0 / side->half_kelvin - 1.0 / kelvin) : -std::numeric_limits<double>::infinity();
    };
    const double cold = exponent(rate.low);
    const double hot = exponent(rate.high);
    // The largest power is taken out of the fraction, so that neither side of it overflows.
    const double most = std::max({0.0, cold, hot});
    return rate.rho25 * (kelvin / reference) * num::exp(rise - most) / (num::exp(-most) + num::exp(cold - most) + num::exp(hot - most));
  }

  double operator()(const pest::KontodimasRate& rate) const {
    const double over = t - rate.lower.celsius();
    const double under = rate.upper.celsius() - t;
    return over > 0.0 && under > 0.0 ? rate.scale * over * over * under : 0.0;
  }

  double operator()(const pest::BetaRate& rate) const {
    const double over = t - rate.lower.celsius();
    const double under = rate.upper.celsius() - t;
    if (!(over > 0.0 && under > 0.0)) return 0.0;
    return num::exp(rate.mu + rate.alpha * num::log(over) + rate.beta * num::log(under));
  }

  double operator()(const pest::TableRate& rate) const { return table_rate(rate, t); }
};

std::optional<double> days_of(double rate) {
  if (rate > 0.0) return 1.0 / rate;
  return std::nullopt;
}

}  // namespace

double rate_per_day(const pest::RateModel& model, Temperature t) {
  const double rate = std::visit(RateAt{t}, model);
  return rate > 0.0 && rate <= std::numeric_limits<double>::max() ? rate : 0.0;
}

double rate_per_day(const pest::StageRate& rate, Temperature t) {
  return rate.share > 0.0 ? rate_per_day(rate.model, t) / rate.share : 0.0;
}

std::optional<double> days_at(const pest::RateModel& model, Temperature t) { return days_of(rate_per_day(model, t)); }
std::optional<double> days_at(const pest::StageRate& rate, Temperature t) { return days_of(rate_per_day(rate, t)); }

int substages(double coefficient_of_variation) {
  constexpr double most = 64.0;
  const double wanted = 1.0 / (coefficient_of_variation * coefficient_of_variation);
  if (!(wanted < most)) return static_cast<int>(most);
  return std::max(1, static_cast<int>(std::floor(wanted + 0.5)));
}

double erlang_cdf(int k, double mean, double x) {
  if (!(x > 0.0)) return 0.0;
  const double z = x * k / mean;
  // e^−z would underflow into a sum that overflows; at k ≤ 170 the tail is below 1e-127 there.
  if (z > 700.0) return 1.0;
  double term = num::exp(-z);
  double tail = term;
  for (int i = 1; i < k; ++i) {
    term *= z / i;
    tail += term;
  }
  return std::max(0.0, 1.0 - tail);
}

double weibull_cdf(const Weibull& spread, double x) {
  if (!(x > spread.start)) return 0.0;
  return -num::expm1(-num::pow((x - spread.start) / spread.scale, spread.shape));
}

double log_logistic_cdf(double slope, double x) { return x > 0.0 ? 1.0 / (1.0 + num::exp(-slope * num::log(x))) : 0.0; }

}  // namespace leafturn::phenology
