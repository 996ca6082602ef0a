#pragma once
/// One model of every form for the tests, with parameters of the check rows.

#include <string>
#include <vector>

#include "core/pest/rate_model.hpp"

namespace leafturn::phenology::test {

inline Temperature celsius(double v) { return Temperature::celsius(v); }

inline pest::LinearRate linear(double lower, double constant) {
  return {{celsius(lower), {}}, {DegreeDays::celsius_days(constant), {}}, std::nullopt, std::nullopt};
}
inline pest::BriereRate briere(double scale, double lower, double upper, double m = 2.0) {
  return {scale, celsius(lower), celsius(upper), m, {}};
}
inline pest::LactinRate lactin(double rho, double upper, double delta, double lambda) { return {rho, celsius(upper), delta, lambda, {}}; }
inline pest::LoganRate logan(double psi, double rho, double base, double upper, double delta) {
  return {psi, rho, celsius(base), celsius(upper), delta, {}};
}
inline pest::Logan10Rate logan10(double alpha, double k, double rho, double base, double upper, double delta) {
  return {alpha, k, rho, celsius(base), celsius(upper), delta, {}};
}
inline pest::KontodimasRate kontodimas(double scale, double lower, double upper) { return {scale, celsius(lower), celsius(upper), {}}; }
inline pest::BetaRate beta(double mu, double alpha, double beta, double lower, double upper) {
  return {mu, alpha, beta, celsius(lower), celsius(upper), {}};
}
inline pest::SchoolfieldRate schoolfield(double rho25, double ha, std::optional<pest::SchoolfieldRate::Inactivation> low,
                                         std::optional<pest::SchoolfieldRate::Inactivation> high) {
  return {rho25, ha, low, high, {}};
}
inline pest::TableRate table(const std::vector<std::pair<double, std::optional<double>>>& points) {
  pest::TableRate out;
  for (const auto& [t, days] : points) out.points.push_back({celsius(t), days});
  return out;
}

struct Example {
  std::string name;
  pest::RateModel model;
};

inline std::vector<Example> every_form() {
  pest::LinearRate capped = linear(9.0, 300.0);
  capped.upper = {celsius(31.0), {}};
  return {{"linear", capped},
          {"briere-1", briere(7.86e-5, 11.36, 39.17)},
          {"briere-2", briere(1.1e-4, 8.0, 35.0, 3.5)},
          {"lactin-2", lactin(0.0065, 39.0, 1.8, -1.06)},
          {"logan-6", logan(0.02, 0.13, 0.0, 36.0, 5.5)},
          {"logan-10", logan10(0.12, 90.0, 0.20, 0.0, 38.0, 1.6)},
          {"sharpe-schoolfield", schoolfield(0.10, 15000, {{-60000, 283}}, {{80000, 306}})},
          {"kontodimas", kontodimas(6e-5, 9.5, 36.0)},
          {"beta", beta(-10.0, 2.2, 0.7, 8.0, 37.0)},
          {"table", table({{8.0, std::nullopt}, {12.0, 60.0}, {16.0, 31.0}, {20.0, 19.0}, {25.0, 13.0}, {30.0, 11.5}, {33.0, 14.0}})}};
}

}  // namespace leafturn::phenology::test
