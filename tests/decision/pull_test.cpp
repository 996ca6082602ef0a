// An old crop pulled, on an ensemble in which it is known who goes where.

#include "core/decision/pull.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/base/random.hpp"
#include "core/decision/outlook.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::decision {
namespace {

using population::Deed;
using population::Movement;
using population::Paths;

constexpr std::size_t members = 600;

const pest::Dossier& bug() {
  static const pest::Library all = io::built_in_library().value();
  return *all.pest("harlequin-bug");
}

/// Five beds in a row. Adults of bed 1 fly when it is pulled: a fifth of the members' all to bed 2, most of the others' to bed 2 and then
/// 3, the last fifth's out of the garden.
struct Toy {
  population::World world;
  std::size_t adult = bug().stages.size() - 1;
  std::vector<Movement> ways;
  std::vector<Receiver> receivers;
  pest::Threshold threshold{{}, "adult", pest::Threshold::Measure::per_plant, {0.5, {"invented", pest::Known::practice, ""}}, ""};

  Toy() {
    world.first = Date::parse("2026-06-01").value();
    world.days = 40;
    for (int b = 0; b < 5; ++b) world.beds.push_back({std::to_string(b + 1), 2.0 * b, 0, 10});
    world.bed_days.assign(200, {20.0F, 1.0F});
    for (std::size_t m = 0; m < members; ++m)
      ways.push_back(m % 5 == 0 ? Movement::stays : m % 5 == 1 ? Movement::leaves : Movement::goes_to_neighbours);
    for (std::size_t b = 1; b < 5; ++b)
      receivers.push_back({std::to_string(b + 1), b, "BRSOA", 2.0 * static_cast<double>(b), 3, &threshold});
  }

  Paths run(std::span<const Deed> deeds) const {
    Paths paths{0, 30, 5, bug().stages.size(), members};
    for (std::size_t m = 0; m < members; ++m) {
      num::Draws draws({.seed = 5, .member = static_cast<std::uint32_t>(m)});
      double here = 40.0 * draws.gamma(3.0) / 3.0;
      std::array<double, 5> there{};
      for (std::size_t d = 0; d < 30; ++d) {
        for (const Deed& deed : deeds) {
          if (deed.at / population::steps_a_day != static_cast<int>(d)) continue;
          if (deed.kind == Deed::Kind::kill) here *= 1.0 - static_cast<double>(deed.low[adult]);
          if (deed.kind != Deed::Kind::pull) continue;
          const double near = ways[m] == Movement::stays ? 1.0 : ways[m] == Movement::leaves ? 0.0 : 0.7;
          const double next = ways[m] == Movement::goes_to_neighbours ? 0.3 : 0.0;
          there[1] += near * here;
          there[2] += next * here;
          here = 0.0;
        }
        paths.at(d, 0, adult)[m] = static_cast<float>(here);
        for (std::size_t b = 1; b < 5; ++b) paths.at(d, b, adult)[m] = static_cast<float>(there[b]);
      }
    }
    return paths;
  }

  /// Individuals there for each one a scout finds.
  double there() const { return target_for(bug(), &threshold).there; }

  Deed deed(Deed::Kind kind, int day, double share) const {
    Deed d;
    d.kind = kind;
    d.at = day * population::steps_a_day;
    d.low.assign(bug().stages.size(), static_cast<float>(share));
    d.high = d.low;
    return d;
  }
  PullAnswer ask(std::span<const PullPlan> plans) const {
    PullRequest r;
    r.dossier = &bug();
    r.world = &world;
    r.paths = [this](std::span<const Deed> deeds) { return run(deeds); };
    r.ways = ways;
    r.receivers = receivers;
    r.plans = plans;
    return pull_risks(r);
  }
  std::vector<PullPlan> plans() const {
    static Act pick;
    pick.means = "hand-pick";
    return {{nullptr, world.first + Days{2}, false, {deed(Deed::Kind::pull, 2, 0.0)}},
            {&pick, world.first + Days{2}, true, {deed(Deed::Kind::kill, 1, 0.8), deed(Deed::Kind::pull, 2, 0.0)}}};
  }
};

TEST(Pull, TheNearestBedComesFirstAndFarOnesRunLittleRisk) {
  const Toy toy;
  const auto plans = toy.plans();
  const PullAnswer answer = toy.ask(plans);
  ASSERT_EQ(answer.plans.size(), 2U);
  const auto& beds = answer.plans[0].together;
  ASSERT_EQ(beds.size(), 4U);
  EXPECT_EQ(beds[0].receiver->bed, "2");
  EXPECT_EQ(beds[0].risk, Risk::high);
  EXPECT_NEAR(beds[0].among_most, 0.8, 1e-9);  // the fifth that leaves the garden troubles nobody
  // Tails of a gamma(3) of mean 40, of which a scout finds a share: 0.2·P(> 10/seen) + 0.6·P(> 14.3/seen), in closed form.
  const auto tail = [&](double found) {
    const double x = found * toy.there() * 3.0 / 40.0;
    return (1.0 + x + x * x / 2.0) * std::exp(-x);
  };
  EXPECT_NEAR(beds[0].over_more, 0.2 * tail(10.0) + 0.6 * tail(14.3), 0.05);
  EXPECT_EQ(beds[3].risk, Risk::little);
  EXPECT_EQ(beds[3].over_more, 0.0);
}

TEST(Pull, EachWayOfMovingHasItsOwnRanking) {
  const Toy toy;
  const auto plans = toy.plans();
  const PullAnswer answer = toy.ask(plans);
  EXPECT_NEAR(answer.ways[0], 0.2, 1e-9);
  EXPECT_NEAR(answer.ways[1], 0.6, 1e-9);
  EXPECT_NEAR(answer.ways[2], 0.2, 1e-9);
  const auto& way = answer.plans[0].by_way;
  EXPECT_NEAR(way[0].front().among_most, 1.0, 1e-9);
  EXPECT_EQ(way[0][1].risk, Risk::little);
  // Bed 3 gets three tenths of 40 on 20 plants: not seldom past half a bug a plant found.
  EXPECT_EQ(way[1][1].receiver->bed, "3");
  EXPECT_EQ(way[1][1].risk, Risk::some);
  for (const BedRisk& bed : way[2]) EXPECT_EQ(bed.risk, Risk::little);
}

TEST(Pull, DoingSomethingFirstSendsLessOn) {
  const Toy toy;
  const auto plans = toy.plans();
  const PullAnswer answer = toy.ask(plans);
  EXPECT_NEAR(answer.plans[0].against_plain.mean, 1.0, 1e-12);
  EXPECT_NEAR(answer.plans[1].against_plain.mean, 0.2, 1e-6);
  EXPECT_NEAR(answer.plans[1].against_plain.p05, 0.2, 1e-6);
  EXPECT_EQ(answer.least, 1U);
  EXPECT_LT(answer.plans[1].together[0].over_more, answer.plans[0].together[0].over_more);
}

TEST(Pull, WhatHappensAnywayIsNotBlamedOnPulling) {
  const Toy toy;
  // A plan that pulls nothing.
  const std::vector<PullPlan> plans{{nullptr, toy.world.first, true, {}}};
  const PullAnswer answer = toy.ask(plans);
  for (const BedRisk& bed : answer.plans[0].together) {
    EXPECT_EQ(bed.among_most, 0.0);
    EXPECT_EQ(bed.over_more, 0.0);
  }
}

TEST(Pull, TheWeightsOfMembersCount) {
  Toy toy;
  PullRequest r;
  r.dossier = &bug();
  r.world = &toy.world;
  r.paths = [&](std::span<const Deed> deeds) { return toy.run(deeds); };
  r.ways = toy.ways;
  r.receivers = toy.receivers;
  const auto plans = toy.plans();
  r.plans = plans;
  r.weights.assign(members, 0.0);
  for (std::size_t m = 0; m < members; ++m)
    if (toy.ways[m] == Movement::leaves) r.weights[m] = 1.0 / (members / 5.0);
  const PullAnswer answer = pull_risks(r);
  EXPECT_NEAR(answer.ways[2], 1.0, 1e-9);
  for (const BedRisk& bed : answer.plans[0].together) EXPECT_EQ(bed.risk, Risk::little);
}

}  // namespace
}  // namespace leafturn::decision
