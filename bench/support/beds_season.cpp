#include "bench/support/beds_season.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <thread>

#include "core/base/random.hpp"

namespace leafturn::bench {

using namespace population;

namespace {

constexpr std::array<const char*, 3> pests{"cabbage-aphid", "diamondback-moth", "imported-cabbageworm"};
constexpr std::size_t futures = 8;
constexpr float plants = 60.0F;
constexpr int looked_at = 20;
constexpr std::int32_t between_walks = 3;
constexpr double few_hundred = 300.0;
const Date first = *Date::from_ymd(2025, 4, 20);

// A mild place: 16 °C in the year's mean, 9 K of seasons, days that follow each other, 6 K either side within the day.
weather::HourlySeries invent_air(std::int32_t days, std::int32_t shared, std::uint64_t seed, std::uint32_t future) {
  weather::HourlySeries out{first, {}};
  double warmer = 0.0;
  for (std::int32_t day = 0; day < days; ++day) {
    num::Draws draws({.seed = seed, .member = day < shared ? 0 : future, .day = day, .use = num::Use::bench});
    warmer = 0.7 * warmer + 2.0 * draws.normal();
    const double middle = 16.0 - 9.0 * std::cos(2.0 * 3.14159265358979 * ((first + Days{day}).day_of_year() - 20) / 365.0) + warmer;
    weather::HourlyDay hours;
    for (std::size_t hour = 0; hour < 24; ++hour)
      hours[hour] = Temperature::celsius(middle - 6.0 * std::cos(2.0 * 3.14159265358979 * (static_cast<double>(hour) - 3.0) / 24.0));
    out.days.emplace_back(hours);
  }
  return out;
}

Workers threads(std::size_t count) {
  return [count](std::size_t tasks, const std::function<void(std::size_t)>& task) {
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
      for (std::size_t i = next++; i < tasks; i = next++) task(i);
    };
    std::vector<std::thread> crew;
    for (std::size_t t = 1; t < std::min(count, tasks); ++t) crew.emplace_back(work);
    work();
    for (std::thread& one : crew) one.join();
  };
}

std::vector<std::size_t> counted_stages(const Life& life) {
  std::vector<std::size_t> out;
  for (std::size_t s = 0; s < life.stages.size(); ++s)
    if (life.stages[s].detection > 0.0 &&
        (life.stages[s].group == pest::StageGroup::larva || life.stages[s].group == pest::StageGroup::nymph))
      out.push_back(s);
  return out;
}

}  // namespace

Workers two_threads() { return threads(2); }
Workers one_thread() { return threads(1); }

BedsSeason::BedsSeason(const pest::Library& library, const SeasonSize& size, std::uint64_t seed) : size_{size}, seed_{seed} {
  for (std::size_t p = 0; p < size.pests; ++p) lives_.push_back(life_of(*library.pest(pests[p])));
  for (std::uint32_t f = 0; f < futures; ++f) air_.push_back(invent_air(size.days + size.ahead + 1, size.days, seed, f));
  for (std::size_t p = 0; p < size.pests; ++p) counts_.push_back(invent_counts(p, seed));
}

World BedsSeason::world(std::size_t pest) const {
  static_cast<void>(pest);
  World out;
  out.first = first;
  out.days = size_.days + size_.ahead + 1;
  for (std::size_t b = 0; b < size_.beds; ++b)
    out.beds.push_back({"bed " + std::to_string(b + 1), 1.5 * static_cast<double>(b % 4), 12.0 * static_cast<double>(b / 4), 10.0});
  out.bed_days.assign(static_cast<std::size_t>(out.days) * size_.beds, {plants, 1.0F});
  out.resting.assign(static_cast<std::size_t>(out.days), 0.0F);
  return out;
}

Setup BedsSeason::setup(std::size_t pest, const Workers& workers) const {
  Setup out;
  out.life = &lives_[pest];
  out.world = world(pest);
  for (const weather::HourlySeries& air : air_) {
    Future future;
    future.steps = steps_of(lives_[pest], air, first, first + Days{out.world.days - 1});
    out.futures.push_back(std::move(future));
  }
  out.prior = prior_of(lives_[pest]);
  out.members = size_.members;
  out.seed = seed_;
  out.pest = static_cast<std::uint16_t>(pest);
  out.workers = workers;
  out.checkpoints = 0;
  return out;
}

// One member of an ensemble of sixteen is taken for the truth, that whose worst bed is nearest to a few hundred on the plants looked at,
// and somebody counts it.
std::vector<Sighting> BedsSeason::invent_counts(std::size_t pest, std::uint64_t seed) const {
  Setup of = setup(pest, one_thread());
  of.members = lanes;
  of.seed = seed + 1'000'003;
  of.futures.resize(1);
  const Filter truth{std::move(of)};
  const Paths paths = truth.paths(0, size_.days - 1);
  const std::vector<std::size_t> stages = counted_stages(lives_[pest]);
  const auto seen = [&](std::int32_t day, std::size_t bed, std::size_t member) {
    double sum = 0.0;
    for (const std::size_t s : stages)
      sum += lives_[pest].stages[s].detection *
             static_cast<double>(paths.at(static_cast<std::size_t>(day - paths.first_day()), bed, s)[member]);
    return sum * looked_at / static_cast<double>(plants);
  };
  std::size_t member = 0;
  double nearest = 1e300;
  for (std::size_t m = 0; m < lanes; ++m) {
    double most = 1.0;
    for (std::int32_t day = between_walks; day < size_.days; day += between_walks)
      for (std::size_t bed = 0; bed < size_.beds; ++bed) most = std::max(most, seen(day, bed, m));
    const double off = std::abs(std::log(most / few_hundred));
    if (off < nearest) member = m;
    nearest = std::min(nearest, off);
  }
  std::vector<Sighting> out;
  std::size_t next = 0;
  for (std::int32_t day = between_walks; day < size_.days; day += between_walks)
    for (std::size_t i = 0; i < std::min(size_.beds_a_walk, size_.beds); ++i) {
      Sighting one = another(pest, next++ % size_.beds);
      one.at = day * steps_a_day + 3;
      num::Draws draws({.seed = seed + pest,
                        .day = day,
                        .bed = static_cast<std::uint16_t>(one.bed),
                        .pest = static_cast<std::uint16_t>(pest),
                        .use = num::Use::bench});
      one.count = static_cast<int>(draws.negative_binomial(seen(day, one.bed, member), 4.0));
      out.push_back(one);
    }
  return out;
}

Sighting BedsSeason::another(std::size_t pest, std::size_t bed) const {
  Sighting one;
  one.bed = bed;
  one.at = size_.days * steps_a_day + static_cast<StepNumber>(bed);
  one.stages = counted_stages(lives_[pest]);
  one.plants = looked_at;
  one.count = 12;
  return one;
}

double BedsSeason::member_substages() const {
  double sum = 0.0;
  for (const Life& life : lives_) sum += static_cast<double>(life.substages * size_.beds * size_.members);
  return sum;
}

}  // namespace leafturn::bench
