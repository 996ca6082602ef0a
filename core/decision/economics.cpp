#include "core/decision/economics.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"

namespace leafturn::decision {
namespace {

double weighed(std::span<const double> belief, std::span<const double> loss) {
  double sum = 0.0;
  for (std::size_t s = 0; s < belief.size(); ++s) sum += belief[s] * loss[s];
  return sum;
}

double least(const LossTable& table, std::span<const double> belief) {
  double best = weighed(belief, table.loss.front());
  for (const auto& action : table.loss) best = std::min(best, weighed(belief, action));
  return best;
}

}  // namespace

std::optional<double> injury_level(const ControlWorth& w) {
  const double saved = w.value.amount() * w.injury_per_pest * w.loss_per_injury * w.control;
  if (!(saved > 0.0)) return std::nullopt;
  return w.cost.amount() / saved;
}

double action_level(double injury_level, double growth_per_day, double delay_days) {
  return injury_level / num::exp(delay_days * num::log(growth_per_day));
}

double share_lost(const Hyperbola& loss, double pests) {
  const double linear = loss.first * std::max(pests, 0.0);
  return linear / (1.0 + linear / loss.most);
}

std::optional<double> paying_density(const Hyperbola& loss, Money cost, Money value, double surviving) {
  if (!(loss.first > 0.0) || !(value.amount() > 0.0) || !(surviving >= 0.0) || !(surviving < 1.0)) return std::nullopt;
  const double wanted = cost.amount() / value.amount();
  if (!(wanted > 0.0)) return 0.0;
  const auto saved = [&](double n) { return share_lost(loss, n) - share_lost(loss, surviving * n); };
  // What treating saves rises up to aN/B = 1/√surviving and falls beyond, where the survivors do nearly all the harm too.
  if (!(surviving > 0.0)) {
    if (!(wanted < loss.most)) return std::nullopt;
    return wanted / (loss.first * (1.0 - wanted / loss.most));
  }
  double low = 0.0;
  double high = loss.most / (loss.first * num::sqrt(surviving));
  if (saved(high) < wanted) return std::nullopt;
  for (int i = 0; i < 200 && high - low > 1e-14 * high; ++i) {
    const double middle = 0.5 * (low + high);
    (saved(middle) < wanted ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

Decided decide(const LossTable& table) {
  Decided out;
  for (const auto& action : table.loss) out.expected.push_back(weighed(table.belief, action));
  out.best = static_cast<std::size_t>(std::min_element(out.expected.begin(), out.expected.end()) - out.expected.begin());
  return out;
}

double value_of_perfect_information(const LossTable& table) {
  double known = 0.0;
  for (std::size_t s = 0; s < table.belief.size(); ++s) {
    double best = table.loss.front()[s];
    for (const auto& action : table.loss) best = std::min(best, action[s]);
    known += table.belief[s] * best;
  }
  return least(table, table.belief) - known;
}

std::vector<double> updated(std::span<const double> belief, std::span<const double> likelihood) {
  std::vector<double> out(belief.begin(), belief.end());
  double sum = 0.0;
  for (std::size_t s = 0; s < out.size(); ++s) sum += belief[s] * likelihood[s];
  if (!(sum > 0.0)) return out;
  for (std::size_t s = 0; s < out.size(); ++s) out[s] = belief[s] * likelihood[s] / sum;
  return out;
}

double value_of_sample_information(const LossTable& table, std::span<const std::vector<double>> likelihood) {
  const std::size_t states = table.belief.size();
  const Decided now = decide(table);
  std::vector<double> joint(states);
  double saved = 0.0;  // against keeping to today's choice, outcome by outcome: what isn't given saves nothing
  for (const auto& outcome : likelihood) {
    for (std::size_t s = 0; s < states; ++s) joint[s] = table.belief[s] * outcome[s];
    saved += weighed(joint, table.loss[now.best]) - least(table, joint);
  }
  return saved;
}

}  // namespace leafturn::decision
