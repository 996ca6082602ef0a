#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/population/cloud.hpp"

namespace leafturn::population {
namespace {

// Liu & West's δ. They advise 0.95–0.99 for clouds that are moved after every one of many observations; a bed is visited a dozen times and
// picked at half its size, so copies have to part at once: at 0.98 the posterior of a season was far too narrow (docs/calibration.md).
constexpr double discount = 0.6;
constexpr std::size_t features = 2;  // of the numbers in the bed: young and adults, as logarithms
constexpr std::size_t wide = unknown_count + features;
constexpr double least_variance = 1e-9;

using Row = std::array<double, wide>;

/// Two nearly normal numbers from eight uniform ones: the sum of four has variance ⅓.
struct Normals {
  Lane a, b;
};
Normals normals(LanePlace place, std::uint16_t part) {
  constexpr float scale = 1.7320508F;
  std::array<Lane, 4> u;
  std::array<Lane, 4> v;
  place.part = part;
  uniforms(place, u);
  place.part = static_cast<std::uint16_t>(part + 1);
  uniforms(place, v);
  Normals out;
  for (std::size_t l = 0; l < lanes; ++l) {
    out.a[l] = scale * (u[0][l] + u[1][l] + u[2][l] + u[3][l] - 2.0F);
    out.b[l] = scale * (v[0][l] + v[1][l] + v[2][l] + v[3][l] - 2.0F);
  }
  return out;
}

std::vector<Row> rows_of(const Life& life, const Members& members, std::size_t bed) {
  std::vector<Row> rows(members.state.members());
  for (std::size_t block = 0; block < members.state.blocks(); ++block) {
    const Deviates& z = members.z[members.index(block, bed)];
    const std::span<const float> x = members.state.bed(block, bed);
    for (std::size_t l = 0; l < lanes; ++l) {
      Row& row = rows[block * lanes + l];
      for (std::size_t u = 0; u < unknown_count; ++u) row[u] = static_cast<double>(z[u][l]);
      double young = 0.0;
      double adults = 0.0;
      for (const LifeStage& stage : life.stages)
        for (std::size_t i = stage.first; i < stage.first + stage.count; ++i)
          (stage.group == pest::StageGroup::adult ? adults : young) += static_cast<double>(x[i * lanes + l]);
      row[unknown_count] = num::log(1.0 + young);
      row[unknown_count + 1] = num::log(1.0 + adults);
    }
  }
  return rows;
}

/// Mean and lower triangle L of the covariance L·Lᵀ, the numbers in the bed first: what L's other rows have in their first columns is what
/// the numbers say of the unknowns.
struct Cloud {
  Row mean{};
  std::array<Row, wide> lower{};
};
constexpr std::size_t at(std::size_t i) { return i < features ? unknown_count + i : i - features; }

Cloud cloud_of(const std::vector<Row>& rows) {
  Cloud out;
  const auto n = static_cast<double>(rows.size());
  for (const Row& row : rows)
    for (std::size_t i = 0; i < wide; ++i) out.mean[i] += row[i] / n;
  std::array<Row, wide> covariance{};
  for (const Row& row : rows)
    for (std::size_t i = 0; i < wide; ++i)
      for (std::size_t j = 0; j <= i; ++j) covariance[i][j] += (row[at(i)] - out.mean[at(i)]) * (row[at(j)] - out.mean[at(j)]) / n;
  for (std::size_t i = 0; i < wide; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double left = covariance[i][j];
      for (std::size_t k = 0; k < j; ++k) left -= out.lower[i][k] * out.lower[j][k];
      // A column that the ones before it tell all of (no adult anywhere) has nothing of its own.
      if (i == j) out.lower[i][i] = left > least_variance ? std::sqrt(left) : 0.0;
      if (i != j) out.lower[i][j] = out.lower[j][j] > 0.0 ? left / out.lower[j][j] : 0.0;
    }
  return out;
}

}  // namespace

void refresh(const Life& life, const Prior& prior, Members& members, std::size_t bed, const Chance& chance, StepNumber when) {
  const Shrinkage how = liu_west(discount);
  const double jitter = std::sqrt(how.kernel_variance);
  const std::vector<Row> rows = rows_of(life, members, bed);
  const Cloud cloud = cloud_of(rows);
  for (std::size_t block = 0; block < members.state.blocks(); ++block) {
    Deviates& z = members.z[members.index(block, bed)];
    const LanePlace place{chance.seed,
                          static_cast<std::uint32_t>(block * lanes),
                          when,
                          static_cast<std::uint16_t>(bed),
                          chance.pest,
                          0,
                          num::Use::population_jitter};
    std::array<Lane, unknown_count> eps;
    for (std::size_t u = 0; u < unknown_count; u += 2) {
      const Normals two = normals(place, static_cast<std::uint16_t>(2 * u));
      eps[u] = two.a;
      eps[u + 1] = two.b;
    }
    for (std::size_t l = 0; l < lanes; ++l) {
      const Row& row = rows[block * lanes + l];
      // Where the member stands in the cloud, in standard deviations one after the other; those of the numbers stay as they are.
      Row own{};
      for (std::size_t i = 0; i < wide; ++i) {
        double left = row[at(i)] - cloud.mean[at(i)];
        for (std::size_t k = 0; k < i; ++k) left -= cloud.lower[i][k] * own[k];
        own[i] = cloud.lower[i][i] > 0.0 ? left / cloud.lower[i][i] : 0.0;
      }
      for (std::size_t u = 0; u < unknown_count; ++u)
        own[features + u] = how.shrink * own[features + u] + jitter * static_cast<double>(eps[u][l]);
      for (std::size_t u = 0; u < unknown_count; ++u) {
        double value = cloud.mean[u];
        for (std::size_t k = 0; k <= features + u; ++k) value += cloud.lower[features + u][k] * own[k];
        z[u][l] = static_cast<float>(value);
      }
    }
    believe(life, prior, members, block, bed);
  }
}

}  // namespace leafturn::population
