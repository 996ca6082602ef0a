#include "core/population/gathered.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

constexpr double least_variance = 1e-3;
constexpr double least_left = 0.5;  // of a variance, however few members are left: 1 − Σw² of two

double share_believed(double moved, double by_chance) {
  const double squared = moved * moved;
  return squared > by_chance ? 1.0 - by_chance / squared : 0.0;
}

}  // namespace

Reweighing reweighing(std::span<const double> z, std::span<const double> before, std::span<const double> after) {
  Reweighing out;
  out.before = moments(z, before);
  out.after = moments(z, after);
  double shift = 0.0;
  double narrow = 0.0;
  double squares_before = 0.0;
  double squares_after = 0.0;
  const double variance = std::max(out.after.variance, least_variance);
  for (std::size_t i = 0; i < z.size(); ++i) {
    const double change = (after[i] - before[i]) * (after[i] - before[i]);
    const double off = (z[i] - out.after.mean) * (z[i] - out.after.mean);
    shift += change * off;
    narrow += change * (off / variance - 1.0) * (off / variance - 1.0);
    squares_before += before[i] * before[i];
    squares_after += after[i] * after[i];
  }
  out.narrow_before = std::max(least_left, 1.0 - squares_before);
  out.narrow_after = std::max(least_left, 1.0 - squares_after);
  out.shift_by_chance = shift / out.narrow_after;
  out.narrow_by_chance = narrow;
  return out;
}

double Gathered::Sum::add(double move, double chance) {
  moved += move;
  by_chance += chance;
  const double now = share_believed(moved, by_chance) * moved;
  const double further = now - believed;
  believed = now;
  return further;
}

Gathered::Heard Gathered::hear(const Reweighing& said) {
  Heard out;
  out.shift = mean_.add(said.after.mean - said.before.mean, said.shift_by_chance);
  const double before = std::max(said.before.variance, least_variance);
  const double after = std::max(said.after.variance, least_variance);
  const double ratio = after / said.narrow_after / (before / said.narrow_before);
  const double doubt = share_believed(mean_.moved, mean_.by_chance) * mean_.by_chance;
  out.variance = before * num::exp(log_variance_.add(num::log(ratio), said.narrow_by_chance)) + std::max(0.0, doubt - doubt_);
  doubt_ = doubt;
  return out;
}

}  // namespace leafturn::population
