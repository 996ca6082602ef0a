#include "core/population/life_table.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

constexpr double ln2 = 0.69314718055994530942;

// next = (matrix + shift)·now, or its transpose; the sum of next.
double apply(std::span<const double> matrix, bool transposed, double shift, const std::vector<double>& now, std::vector<double>& next) {
  const std::size_t n = now.size();
  double sum = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    double v = shift * now[i];
    for (std::size_t j = 0; j < n; ++j) v += (transposed ? matrix[j * n + i] : matrix[i * n + j]) * now[j];
    next[i] = v;
    sum += v;
  }
  return sum;
}

struct Vector {
  double factor = 0.0;
  std::vector<double> shares;
};

// A shift of half the growth keeps the dominant eigenvalue alone in front: of eigenvalues on one circle only the real one grows by all of
// it.
std::optional<Vector> dominant(std::span<const double> matrix, std::size_t n, bool transposed) {
  std::vector<double> now(n, 1.0 / static_cast<double>(n));
  std::vector<double> next(n);
  double factor = apply(matrix, transposed, 0.0, now, next);
  if (!(factor > 0.0)) return std::nullopt;
  double shift = 0.5 * factor;
  for (int round = 0; round < 100'000; ++round) {
    const double sum = apply(matrix, transposed, shift, now, next);
    double change = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      next[i] /= sum;
      change = std::max(change, std::abs(next[i] - now[i]));
    }
    now.swap(next);
    factor = sum - shift;
    if (!(factor > 0.0)) return std::nullopt;
    // Every 16 rounds, so that the shift is settled while the last rounds are judged.
    if (round % 16 == 15) {
      if (change < 1e-15) return Vector{factor, now};
      shift = 0.5 * factor;
    }
  }
  return std::nullopt;
}

}  // namespace

double lotka_sum(std::span<const AgeClass> rows, double growth) {
  double sum = 0.0;
  for (const AgeClass& row : rows) sum += num::exp(-growth * row.age) * row.alive * row.births;
  return sum;
}

std::optional<LifeTable> life_table(std::span<const AgeClass> rows) {
  LifeTable table;
  double moment = 0.0;
  double at_birth = 0.0;
  for (const AgeClass& row : rows) {
    const double young = row.alive * row.births;
    table.net_reproduction += young;
    moment += row.age * young;
    if (!(row.age > 0.0)) at_birth += young;
  }
  if (!(table.net_reproduction > 0.0 && moment > 0.0) || at_birth >= 1.0) return std::nullopt;
  table.generation_time = moment / table.net_reproduction;
  table.rough_growth = num::log(table.net_reproduction) / table.generation_time;
  // The sum falls with r. The bracket grows from the rough rate.
  double step = std::max(std::abs(table.rough_growth), 1e-3 / table.generation_time);
  double low = table.rough_growth - step;
  double high = table.rough_growth + step;
  for (int i = 0; i < 200 && lotka_sum(rows, low) < 1.0; ++i) low -= (step *= 2.0);
  for (int i = 0; i < 200 && lotka_sum(rows, high) > 1.0; ++i) high += (step *= 2.0);
  for (int i = 0; i < 200 && high - low > 1e-16 * (std::abs(low) + std::abs(high)); ++i) {
    const double middle = 0.5 * (low + high);
    (lotka_sum(rows, middle) > 1.0 ? low : high) = middle;
  }
  table.growth = 0.5 * (low + high);
  table.factor = num::exp(table.growth);
  table.doubling_time = ln2 / table.growth;
  return table;
}

std::optional<StageGrowth> stage_growth(std::span<const double> matrix, std::size_t stages) {
  if (stages == 0 || matrix.size() != stages * stages) return std::nullopt;
  for (const double v : matrix)
    if (!(v >= 0.0 && v < std::numeric_limits<double>::infinity())) return std::nullopt;
  auto right = dominant(matrix, stages, false);
  auto left = dominant(matrix, stages, true);
  if (!right || !left || !(left->shares[0] > 1e-12)) return std::nullopt;
  const double first = left->shares[0];
  for (double& v : left->shares) v /= first;
  return StageGrowth{right->factor, std::move(right->shares), std::move(left->shares)};
}

StageStep stage_step(double survival, double steps, double factor) {
  const double log_ratio = num::log(survival / factor);
  // (q^d − q^(d−1))/(q^d − 1) with q = survival/factor; 1/d where q is 1.
  const double leaving = std::abs(log_ratio) < 1e-12
                             ? 1.0 / steps
                             : num::exp((steps - 1.0) * log_ratio) * num::expm1(log_ratio) / num::expm1(steps * log_ratio);
  return {leaving, survival * (1.0 - leaving), survival * leaving};
}

}  // namespace leafturn::population
