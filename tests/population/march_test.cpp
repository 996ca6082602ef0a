// What moves between beds is neither made nor lost beyond the share that is said to be: half of what takes wing, half of what walks.

#include "core/population/march.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "core/population/cloud.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::population {
namespace {

constexpr std::size_t beds = 3;
constexpr std::size_t count = 64;
constexpr float many = 5000.0F;  // in a substage: far above where numbers are whole

const Life& worm() {
  static const pest::Library read = *io::built_in_library();
  static const Life life = life_of(*read.pest("imported-cabbageworm"));
  return life;
}

std::size_t walker() {
  for (std::size_t s = 0; s < worm().stages.size(); ++s)
    if (worm().stages[s].walks) return s;
  return worm().stages.size();
}

/// Two days too cold for anything to grow, lay or age, with nobody dying and nobody coming: all that happens is luck and moving.
struct Still {
  World world;
  std::vector<Future> futures;
  Members members;
  Chance chance{5, 0};

  Still() {
    world.first = *Date::from_ymd(2026, 6, 1);
    world.days = 2;
    for (std::size_t b = 0; b < beds; ++b) world.beds.push_back({std::to_string(b), 3.0 * static_cast<double>(b), 0.0, 8.0});
    world.bed_days.assign(2 * beds, BedDay{30.0F, 1.0F});
    world.resting.assign(2, 0.0F);
    weather::HourlyDay cold;
    for (auto& hour : cold) hour = Temperature::celsius(-5.0);
    weather::HourlySeries air{world.first, {}};
    air.days.assign(3, cold);
    futures.push_back({steps_of(worm(), air, world.first, world.first + Days{1}), {}});
    members = draw_members(worm(), world, prior_of(worm()), count, chance);
    members.counted.assign(beds, 1);
    for (std::size_t block = 0; block < members.state.blocks(); ++block)
      for (std::size_t b = 0; b < beds; ++b) {
        Believed& belief = members.believed[members.index(block, b)];
        belief.arrival.fill(0.0F);
        belief.mortality.fill(0.0F);
        belief.enemies.fill(0.0F);
        belief.leaving.fill(0.0F);
        belief.goes.fill(0.0F);
        belief.to_neighbours.fill(1.0F);
        for (float& x : members.state.bed(block, b)) x = many;
      }
  }
  void leave(float share) {
    for (Believed& belief : members.believed) belief.leaving.fill(share);
  }
  void run(StepNumber to = steps_a_day) {
    const Course course{worm(), world, futures, {}};
    for (std::size_t block = 0; block < members.state.blocks(); ++block) march(course, chance, members, block, 0, to, widest_lanes());
  }
  double in(std::size_t bed, std::size_t stage, std::size_t member) const {
    double sum = 0.0;
    const LifeStage& of = worm().stages[stage];
    for (std::size_t i = of.first; i < of.first + of.count; ++i)
      sum += static_cast<double>(members.state.bed(member / lanes, bed)[i * lanes + member % lanes]);
    return sum;
  }
};

// The day's luck of a bed is the same in both, whatever was there: held against the still garden it falls out.
double moved_total(const Still& moved, const Still& still, std::size_t stage, std::size_t member) {
  double sum = 0.0;
  const double put = static_cast<double>(many) * static_cast<double>(worm().stages[stage].count);
  for (std::size_t b = 0; b < beds; ++b) sum += moved.in(b, stage, member) / still.in(b, stage, member) * put;
  return sum;
}

TEST(March, HalfOfWhatTakesWingComesDownAndNothingIsMade) {
  Still still;
  still.run();
  Still moved;
  moved.leave(0.4F);
  moved.run();
  const std::size_t stage = worm().arriving;
  const double put = static_cast<double>(many) * static_cast<double>(worm().stages[stage].count);
  constexpr double left = 0.4 * 0.1;  // a day too cold to fly: a tenth as lively
  for (std::size_t m = 0; m < count; ++m) EXPECT_NEAR(moved_total(moved, still, stage, m) / (beds * put), 1.0 - 0.5 * left, 1e-4) << m;
}

TEST(March, WhatLeavesABedNeverCountedIsNotFollowed) {
  Still still;
  still.run();
  Still moved;
  moved.members.counted.assign(beds, 0);
  moved.leave(0.4F);
  moved.run();
  const std::size_t stage = worm().arriving;
  const double put = static_cast<double>(many) * static_cast<double>(worm().stages[stage].count);
  EXPECT_NEAR(moved_total(moved, still, stage, 0) / (beds * put), 1.0 - 0.4 * 0.1, 1e-4);
}

TEST(March, APulledCropSendsHalfItsFliersAndHalfItsWalkersOn) {
  ASSERT_LT(walker(), worm().stages.size());
  Still still;
  still.run();
  Still pulled;
  Deed pull;
  pull.kind = Deed::Kind::pull;
  pull.at = 1;
  pull.low.assign(worm().stages.size(), 0.0F);
  pull.high = pull.low;
  pulled.world.deeds.push_back(pull);
  pulled.run();
  for (const std::size_t stage : {worm().arriving, walker()}) {
    double before = 0.0;
    double after = 0.0;
    for (std::size_t b = 0; b < beds; ++b) {
      before += still.in(b, stage, 7);
      after += pulled.in(b, stage, 7);
    }
    EXPECT_DOUBLE_EQ(pulled.in(0, stage, 7), 0.0) << stage;
    EXPECT_NEAR((before - after) / still.in(0, stage, 7), 0.5, 1e-4) << stage;
  }
}

}  // namespace
}  // namespace leafturn::population
