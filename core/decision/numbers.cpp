#include "core/decision/numbers.hpp"

#include <algorithm>
#include <array>

namespace leafturn::decision {
Spread spread_of(std::vector<float> values) {
  std::sort(values.begin(), values.end());
  const auto n = static_cast<double>(values.size());
  const auto at = [&](double p) {
    const double place = p * n;
    const auto least = static_cast<std::size_t>(place);
    // The least count of members that makes up the share: rounded up, but 0.05·1000 must not become 51 by a last bit.
    const bool whole = place - static_cast<double>(least) < 1e-9 * n;
    return static_cast<double>(values[std::min(values.size() - 1, whole ? std::max<std::size_t>(least, 1) - 1 : least)]);
  };
  Spread out{0.0, at(0.025), at(0.05), at(0.25), at(0.5), at(0.75), at(0.95), at(0.975)};
  for (const float value : values) out.mean += static_cast<double>(value);
  out.mean /= n;
  return out;
}

Numbers::Numbers(const population::World& world, const population::Filter& filter, std::int32_t from, std::int32_t to)
    : first_{world.first}, paths_{filter.paths(from, to)} {
  first_ = world.first + Days{paths_.first_day()};
  for (const auto& bed : world.beds) beds_.push_back(bed.name);
  for (std::int32_t day = paths_.first_day(); day < paths_.first_day() + static_cast<std::int32_t>(paths_.days()); ++day)
    for (std::size_t b = 0; b < beds_.size(); ++b) plants_.push_back(world.on(day, b).plants);
}

std::optional<std::size_t> Numbers::bed(std::string_view name) const {
  const auto found = std::find(beds_.begin(), beds_.end(), name);
  return found != beds_.end() ? std::optional{static_cast<std::size_t>(found - beds_.begin())} : std::nullopt;
}

double Numbers::plants(Date day, std::size_t bed) const { return static_cast<double>(plants_[index_of(day) * beds_.size() + bed]); }

std::vector<float> Numbers::per_plant(Date day, std::size_t bed, std::span<const std::size_t> stages, double in_one) const {
  std::vector<float> sum(paths_.members(), 0.0F);
  const auto share = static_cast<float>(1.0 / (plants(day, bed) * in_one));
  for (const std::size_t stage : stages) {
    const auto there = paths_.at(index_of(day), bed, stage);
    for (std::size_t m = 0; m < sum.size(); ++m) sum[m] += there[m];
  }
  for (float& value : sum) value *= share;
  return sum;
}

std::optional<Spread> Numbers::spread(Date day, std::size_t bed, std::span<const std::size_t> stages, double in_one) const {
  if (!(plants(day, bed) > 0.0)) return std::nullopt;
  return spread_of(per_plant(day, bed, stages, in_one));
}

std::optional<double> Numbers::over(Date day, std::size_t bed, std::span<const std::size_t> stages, double in_one, double threshold) const {
  if (!(plants(day, bed) > 0.0)) return std::nullopt;
  const auto values = per_plant(day, bed, stages, in_one);
  const auto past = std::count_if(values.begin(), values.end(), [&](float v) { return static_cast<double>(v) > threshold; });
  return static_cast<double>(past) / static_cast<double>(values.size());
}

std::string_view word_for(population::Unknown unknown) {
  constexpr std::array<std::string_view, population::unknown_count> words = {"start",   "arrival",  "reproduction", "mortality",
                                                                             "enemies", "movement", "efficacy",     "clumping"};
  return words[static_cast<std::size_t>(unknown)];
}

std::string_view word_for(population::Movement movement) {
  constexpr std::array<std::string_view, 3> words = {"stays", "goes_to_neighbours", "leaves"};
  return words[static_cast<std::size_t>(movement)];
}

}  // namespace leafturn::decision
