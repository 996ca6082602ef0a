#pragma once
/// The linear model whose answers are known exactly, to hold filters against: x_t = a·x_(t−1) + N(0, Q), y_t = x_t + N(0, R). Written for
/// the tests alone, sharing nothing with core.

#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace leafturn::test {

struct LinearModel {
  double a = 1.0;
  double process = 0.0;      ///< Q
  double observation = 0.0;  ///< R
  double first_mean = 0.0;   ///< of x_0
  double first_variance = 0.0;
};

struct KalmanStep {
  double predicted_mean = 0.0, predicted_variance = 0.0;
  double innovation_variance = 0.0, gain = 0.0;
  double mean = 0.0, variance = 0.0;  ///< given y_1 … y_t
  double log_likelihood = 0.0;        ///< of y_1 … y_t
  double smooth_mean = 0.0, smooth_variance = 0.0;
};

/// Kalman 1960 (J. Basic Eng. 82:35–45) forwards; Rauch, Tung & Striebel 1965 (AIAA J. 3:1445–1450) backwards. Both from memory.
inline std::vector<KalmanStep> kalman(const LinearModel& model, const std::vector<std::optional<double>>& observed) {
  std::vector<KalmanStep> steps;
  double mean = model.first_mean;
  double variance = model.first_variance;
  double logs = 0.0;
  for (const auto& y : observed) {
    KalmanStep step;
    step.predicted_mean = model.a * mean;
    step.predicted_variance = model.a * model.a * variance + model.process;
    step.innovation_variance = step.predicted_variance + model.observation;
    step.gain = y ? step.predicted_variance / step.innovation_variance : 0.0;
    const double off = y ? *y - step.predicted_mean : 0.0;
    mean = step.mean = step.predicted_mean + step.gain * off;
    variance = step.variance = (1.0 - step.gain) * step.predicted_variance;
    if (y) logs -= 0.5 * (std::log(2.0 * 3.14159265358979323846 * step.innovation_variance) + off * off / step.innovation_variance);
    step.log_likelihood = logs;
    steps.push_back(step);
  }
  for (std::size_t i = steps.size(); i-- > 0;) {
    KalmanStep& now = steps[i];
    now.smooth_mean = now.mean;
    now.smooth_variance = now.variance;
    if (i + 1 == steps.size()) continue;
    const KalmanStep& next = steps[i + 1];
    const double back = now.variance * model.a / next.predicted_variance;
    now.smooth_mean += back * (next.smooth_mean - next.predicted_mean);
    now.smooth_variance += back * back * (next.smooth_variance - next.predicted_variance);
  }
  return steps;
}

/// Predicted variance in the end: P = a²·P·R/(P + R) + Q.
inline double steady_variance(const LinearModel& model) {
  const double half = 0.5 * (model.observation * (model.a * model.a - 1.0) + model.process);
  return half + std::sqrt(half * half + model.process * model.observation);
}

/// Ensemble Kalman filter's step for y = x + N(0, R). With perturbations of y it is Burgers, van Leeuwen & Evensen 1998 (Mon. Weather Rev.
/// 126:1719–1724); without, members keep their places around the mean (Whitaker & Hamill 2002, Mon. Weather Rev. 130:1913–1924). Both from
/// memory.
inline std::vector<double> ensemble_step(const std::vector<double>& members, double observation, double y,
                                         const std::vector<double>& perturbations) {
  const auto n = static_cast<double>(members.size());
  double mean = 0.0;
  for (const double x : members) mean += x / n;
  double variance = 0.0;
  for (const double x : members) variance += (x - mean) * (x - mean) / (n - 1.0);
  const double gain = variance / (variance + observation);
  std::vector<double> after;
  for (std::size_t i = 0; i < members.size(); ++i)
    after.push_back(perturbations.empty() ? mean + gain * (y - mean) + std::sqrt(1.0 - gain) * (members[i] - mean)
                                          : members[i] + gain * (y + perturbations[i] - members[i]));
  return after;
}

/// The local level of methods.md 4.2, and what was observed of it.
inline LinearModel local_level(double process = 0.5) { return {1.0, process, 1.0, 5.0, 2.0}; }
inline std::vector<std::optional<double>> local_level_observed() { return {4.9, 5.6, 4.2, 6.1, 7.3, 6.8}; }

}  // namespace leafturn::test
