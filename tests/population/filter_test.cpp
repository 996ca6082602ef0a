#include "core/population/filter.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <thread>

#include "io/dossier_toml.hpp"

namespace leafturn::population {
namespace {

constexpr int season = 45;

const pest::Library& library() {
  static const pest::Library read = *io::built_in_library();
  return read;
}

const Life& worm() {
  static const Life life = life_of(*library().pest("imported-cabbageworm"));
  return life;
}

weather::HourlySeries warm_air(int days) {
  weather::HourlySeries air;
  air.first = *Date::from_ymd(2026, 5, 20);
  for (int day = 0; day < days; ++day) {
    weather::HourlyDay hours;
    for (int h = 0; h < 24; ++h)
      hours[static_cast<std::size_t>(h)] = Temperature::celsius(20.0 + 3.0 * std::sin(0.3 * day) + 6.0 * std::sin((h - 9) * 0.2618));
    air.days.push_back(hours);
  }
  return air;
}

std::vector<std::size_t> caterpillars() { return pest::stages_for(*worm().dossier, "larva").stages; }

// Beds in a row, three metres apart, thirty plants each.
Setup row_of_beds(std::size_t beds, std::size_t members = 512) {
  Setup setup;
  setup.life = &worm();
  World& world = setup.world;
  const weather::HourlySeries air = warm_air(season + 30);
  world.first = air.first;
  world.days = season + 25;
  for (std::size_t b = 0; b < beds; ++b) world.beds.push_back({std::to_string(b + 1), 3.0 * static_cast<double>(b), 0.0, 8.0});
  const auto days = static_cast<std::size_t>(world.days);
  world.bed_days.assign(days * beds, BedDay{30.0F, 1.0F});
  world.resting.assign(days, 0.0F);
  setup.futures.push_back({steps_of(worm(), air, world.first, world.first + Days{world.days - 1}), {}});
  setup.prior = prior_of(worm());
  setup.members = members;
  return setup;
}

std::vector<Sighting> counts_of(std::size_t bed, const std::vector<int>& counts) {
  std::vector<Sighting> sightings;
  for (std::size_t i = 0; i < counts.size(); ++i)
    sightings.push_back({bed, static_cast<StepNumber>(i) * 3 * steps_a_day + 4, caterpillars(), 1.0, 20, counts[i], {}});
  return sightings;
}

const std::vector<int> rising = {0, 0, 1, 3, 6, 9, 12, 10, 14, 20, 15, 11};

Workers two_threads() {
  return [](std::size_t count, const std::function<void(std::size_t)>& task) {
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
      for (std::size_t i = next++; i < count; i = next++) task(i);
    };
    std::thread other{work};
    work();
    other.join();
  };
}

Sighting ask(const Filter& filter, std::size_t bed, int days) {
  return {bed, filter.now() + days * steps_a_day, caterpillars(), 1.0, 20, 0, {}};
}

TEST(Filter, BytesDoNotDependOnThreadsOrLanes) {
  std::vector<std::uint64_t> digests;
  for (const Lanes lanes : {Lanes::baseline, widest_lanes()})
    for (const bool threads : {false, true}) {
      population::Setup setup = row_of_beds(3);
      setup.lanes = lanes;
      if (threads) setup.workers = two_threads();
      Filter filter{std::move(setup)};
      filter.fold(counts_of(0, rising));
      digests.push_back(filter.digest());
    }
  for (const std::uint64_t digest : digests) EXPECT_EQ(digest, digests.front());
}

TEST(Filter, ManyFoundMakesManyExpectedAndNoneFoundFew) {
  Filter many{row_of_beds(1)};
  many.fold(counts_of(0, rising));
  Filter none{row_of_beds(1)};
  none.fold(counts_of(0, std::vector<int>(rising.size(), 0)));
  const Sighting soon = ask(many, 0, 3);
  const double expected_many = many.expect({&soon, 1}).front().mean();
  const double expected_none = none.expect({&soon, 1}).front().mean();
  EXPECT_GT(expected_many, 5.0);
  EXPECT_LT(expected_many, 30.0);
  EXPECT_LT(expected_none, 1.0);
}

TEST(Filter, ForecastsWidenWithTheDaysAhead) {
  Filter filter{row_of_beds(1)};
  filter.fold(counts_of(0, rising));
  const std::vector<Sighting> asks = {ask(filter, 0, 3), ask(filter, 0, 14)};
  const auto expected = filter.expect(asks);
  const auto width = [](const CountMixture& m) { return static_cast<double>(m.quantile(0.95) - m.quantile(0.05)) / m.mean(); };
  EXPECT_GT(width(expected[1]), width(expected[0]));
}

TEST(Filter, EveryCountIsScoredBeforeItIsUsed) {
  Filter filter{row_of_beds(1)};
  const auto counts = counts_of(0, rising);
  filter.fold(std::span(counts).first(4));
  const Sighting& next = counts[4];
  auto alone = row_of_beds(1);
  alone.unforeseen = 0.0;  // the model alone, not pooled: what the gate is held against
  Filter knows_all{std::move(alone)};
  knows_all.fold(std::span(counts).first(4));
  const CountMixture expected = knows_all.expect({&next, 1}).front();
  filter.fold(std::span(counts).subspan(4, 1));
  ASSERT_EQ(filter.scored().size(), 5U);
  // The forecast is made from members picked anew, the score from weighted ones: the same but for chance.
  EXPECT_NEAR(filter.scored().back().expected.mean(), expected.mean(), 0.2 * expected.mean());
  EXPECT_EQ(filter.scored().back().sighting.count, 6);
}

TEST(Filter, ALateCountReopensWhatCameAfterIt) {
  const auto counts = counts_of(0, rising);
  Filter in_order{row_of_beds(1)};
  for (const Sighting& s : counts) in_order.fold({&s, 1});
  Filter late{row_of_beds(1)};
  for (std::size_t i = 0; i < counts.size(); ++i)
    if (i != 7) late.fold({&counts[i], 1});
  EXPECT_NE(late.digest(), in_order.digest());
  late.fold({&counts[7], 1});
  EXPECT_EQ(late.digest(), in_order.digest());
  EXPECT_EQ(late.scored().size(), counts.size());
}

TEST(Filter, WhatIsFoundInOneBedIsExpectedMoreOfTheOthers) {
  Filter told{row_of_beds(2)};
  told.fold(counts_of(0, rising));
  Filter untold{row_of_beds(2)};
  untold.fold(counts_of(0, std::vector<int>(rising.size(), 0)));
  const Sighting other = ask(told, 1, 0);
  EXPECT_GT(told.expect({&other, 1}).front().quantile(0.5), 2 * untold.expect({&other, 1}).front().quantile(0.5));
  EXPECT_GT(told.learned(1, Unknown::arrival).mean, untold.learned(1, Unknown::arrival).mean + 0.3);
}

TEST(Filter, WhatCountsCannotTellIsNotLearned) {
  Filter filter{row_of_beds(1, 2048)};
  filter.fold(counts_of(0, rising));
  EXPECT_TRUE(filter.learned(0, Unknown::arrival).learned);
  EXPECT_FALSE(filter.learned(0, Unknown::efficacy).learned);  // nothing was done
}

TEST(Filter, HandWorkLowersWhatIsExpected) {
  Filter filter{row_of_beds(1)};
  filter.fold(counts_of(0, rising));
  auto deed = deed_for(worm(), library(), Deed::Kind::kill, "hand-pick", false);
  ASSERT_TRUE(deed);
  deed->at = filter.now() + 1;
  const Sighting tomorrow = ask(filter, 0, 1);
  const double without = filter.expect({&tomorrow, 1}).front().mean();
  const double with = filter.expect({&tomorrow, 1}, {&*deed, 1}).front().mean();
  EXPECT_LT(with, 0.6 * without);  // published: half to nine tenths of those seen
  EXPECT_GT(with, 0.05 * without);
}

TEST(Filter, SomethingUnforeseenIsBelievedWhenItIsFound) {
  Filter filter{row_of_beds(1)};
  std::vector<int> counts(8, 0);
  counts.push_back(150);
  filter.fold(counts_of(0, counts));
  const Sighting tomorrow = ask(filter, 0, 1);
  EXPECT_GT(filter.expect({&tomorrow, 1}).front().mean(), 50.0);
}

TEST(Filter, PullingInThoughtEmptiesTheBedForGood) {
  Filter filter{row_of_beds(3)};
  filter.fold(counts_of(0, rising));
  const std::int32_t today = filter.now() / steps_a_day + 1;
  Deed pull;
  pull.kind = Deed::Kind::pull;
  pull.bed = 0;
  pull.at = (today + 1) * steps_a_day;
  pull.low.assign(worm().stages.size(), 1.0F);
  pull.high = pull.low;
  const Paths with = filter.paths(today, today + 14, {&pull, 1});
  const Paths without = filter.paths(today, today + 14);
  const auto all = [](const Paths& paths, std::size_t day, std::size_t bed) {
    double sum = 0.0;
    for (std::size_t s = 0; s < paths.stages(); ++s)
      for (const float x : paths.at(day, bed, s)) sum += static_cast<double>(x);
    return sum / static_cast<double>(paths.members());
  };
  EXPECT_NEAR(all(with, 0, 0), all(without, 0, 0), 1e-3 * all(without, 0, 0));  // the day before
  for (std::size_t day = 2; day < 15; ++day)
    EXPECT_LT(all(with, day, 0), 0.05 * all(without, day, 0)) << day;  // nobody lays or lands there
  EXPECT_GT(all(with, 3, 1), all(without, 3, 1));                      // its butterflies are elsewhere
  const auto ways = filter.ways(0);
  const auto shares = filter.movement(0);
  ASSERT_EQ(ways.size(), with.members());
  for (const Movement way : {Movement::stays, Movement::goes_to_neighbours, Movement::leaves})
    EXPECT_NEAR(static_cast<double>(std::count(ways.begin(), ways.end(), way)) / static_cast<double>(ways.size()),
                shares[static_cast<std::size_t>(way)], 0.03);
}

}  // namespace
}  // namespace leafturn::population
