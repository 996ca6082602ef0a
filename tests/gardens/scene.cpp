#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {

double Scene::quality(int pest, int bed_at) const {
  const BedState& now = bed(bed_at);
  const double liking = world.liking(pest, now.planting);
  if (liking <= 0.0) return 0.0;
  const Planting& p = world.planting(now.planting);
  const double young = std::min(1.0, 0.25 + 0.75 * (day - p.set_out) / 25.0);
  const double old = day <= p.last ? 1.0 : std::max(0.2, 1.0 - 0.04 * (day - p.last));
  return liking * young * old * std::max(0.05, 1.0 - now.eaten);
}

int Scene::pleasing_plant(int pest, int bed_at, double unit) const {
  const auto& sums = world.pleasing[static_cast<std::size_t>(pest)][static_cast<std::size_t>(bed(bed_at).planting)];
  const auto at = std::lower_bound(sums.begin(), sums.end(), unit) - sums.begin();
  return std::min(static_cast<int>(at), static_cast<int>(sums.size()) - 1);
}

double Scene::poisoned(int pest, int bed_at, int stage) const {
  const Species& bio = world.pest(pest).species();
  const BedState& now = bed(bed_at);
  double lives = 1.0;
  for (std::size_t i = 0; i < now.residue.size(); ++i)
    if (now.residue[i] > 0.01 && !bio.hidden(stage))
      lives *= 1.0 - 0.5 * now.residue[i] * kill(products()[i].active, bio.key, bio.group(stage), bio.small(stage));
  return 1.0 - lives;
}

bool Scene::autumn(int pest, double shift) const {
  constexpr int solstice = 172;
  return day > solstice && world.day_length[static_cast<std::size_t>(day)] + shift < world.pest(pest).species().resting_hours;
}

int Scene::landing(int pest, int from, double unit) const {
  const double reach = world.pest(pest).species().flight_m * world.pest(pest).mobility;
  std::array<double, 16> sums{};
  double sum = 0.0;
  const int n = bed_count();
  for (int b = 0; b < n; ++b) {
    double weight = bed(b).covered ? 0.0 : quality(pest, b) * plants(b);
    if (from >= 0) weight *= b == from ? 0.2 : exp_of(-world.distance_m(from, b) / reach);
    sums[static_cast<std::size_t>(b)] = sum += weight;
  }
  if (sum <= 0.0) return -1;
  for (int b = 0; b < n; ++b)
    if (unit * sum < sums[static_cast<std::size_t>(b)]) return b;
  return n - 1;
}

}  // namespace leafturn::gardens
