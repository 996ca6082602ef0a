// What people do in a true garden does what it should, costs what it should, and is written down.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

#include "tests/gardens/seeds.hpp"
#include "tests/gardens/species.hpp"

namespace leafturn::gardens {
namespace {

class Doings : public testing::TestWithParam<Kind> {};
INSTANTIATE_TEST_SUITE_P(, Doings, testing::Values(Kind::walkers, Kind::pulses, Kind::patches),
                         [](const auto& one) { return std::string(name_of(one.param)); });

// The bed with most feeding insects and its pest, of the gardens of a form, on a day.
struct Spot {
  Garden garden;
  int bed = -1;
  std::string pest;
  std::int64_t feeding = 0;
};
Spot worst(Kind kind, int day) {
  Spot best{make({kind, 2000}), -1, {}, 0};
  for (std::uint64_t seed = 2000; seed < 2024; ++seed) {
    Garden garden = make({kind, seed});
    garden.run_until(day);
    for (const auto& pest : garden.pests())
      for (int b = 0; b < garden.beds(); ++b)
        if (garden.is_host(b, pest) && garden.truth(b, pest, "feeding") > best.feeding)
          best = {garden, b, pest, garden.truth(b, pest, "feeding")};
  }
  return best;
}

TEST_P(Doings, hand_and_spray_kill_in_their_bed_and_are_written_down) {
  const Spot spot = worst(GetParam(), 195);
  ASSERT_GT(spot.feeding, 100);
  Garden by_hand = spot.garden, by_spray = spot.garden;
  by_hand.hand_pick(spot.bed);
  const double picked = 1.0 - static_cast<double>(by_hand.truth(spot.bed, spot.pest, "feeding")) / static_cast<double>(spot.feeding);
  EXPECT_GT(picked, 0.1);
  EXPECT_LT(picked, 0.9);
  EXPECT_GT(by_hand.ledger(spot.bed).hours, 0.0);
  by_spray.spray(spot.bed, "Trial Broad");
  EXPECT_LT(by_spray.truth(spot.bed, spot.pest, "feeding"), spot.feeding);
  EXPECT_EQ(by_spray.ledger(spot.bed).sprays, 1);
  EXPECT_EQ(by_spray.history(195).actions.back().product, "Trial Broad");
  EXPECT_EQ(by_hand.history(195).actions.back().action, "hand-pick");
  for (int b = 0; b < spot.garden.beds(); ++b) {
    if (b == spot.bed) continue;
    EXPECT_EQ(by_spray.truth(b, spot.pest, "any"), spot.garden.truth(b, spot.pest, "any")) << b;
  }
}

TEST(People, a_spray_kills_the_share_that_is_told) {
  double killed = 0.0, expected = 0.0, variance = 0.0;
  for (std::uint64_t seed = 3000; seed < 3060; ++seed) {
    Garden garden = make({Kind::pulses, seed});
    garden.run_until(190);
    for (int b = 0; b < garden.beds(); ++b) {
      if (!garden.is_host(b, "PLUTMA")) continue;
      const double before = static_cast<double>(garden.truth(b, "PLUTMA", "pupa")),
                   moths = static_cast<double>(garden.truth(b, "PLUTMA", "adult"));
      garden.spray(b, "Trial Spin");
      killed += before + moths - static_cast<double>(garden.truth(b, "PLUTMA", "pupa") + garden.truth(b, "PLUTMA", "adult"));
      for (const auto& [n, group] : {std::pair{before, Group::pupa}, std::pair{moths, Group::adult}}) {
        const double p = 0.7 * kill("spinosad", "PLUTMA", group, false);
        expected += n * p;
        variance += n * p * (1.0 - p);
      }
    }
  }
  ASSERT_GT(variance, 20.0);
  EXPECT_NEAR(killed, expected, 4.0 * std::sqrt(variance));
}

TEST_P(Doings, a_cover_from_the_first_day_keeps_a_bed_clean) {
  int dirty = 0, beds = 0;
  for (std::uint64_t seed = 2100; seed < 2112; ++seed) {
    Garden open = make({GetParam(), seed}), covered = open;
    for (Garden* garden : {&open, &covered})
      while (garden->today() < 200) {
        if (garden == &covered)
          for (int b = 0; b < garden->beds(); ++b) garden->cover(b);
        garden->advance_day();
      }
    for (const auto& pest : open.pests()) {
      EXPECT_EQ(covered.tally(pest).arrived, 0) << seed << pest;
      for (int b = 0; b < open.beds(); ++b) {
        dirty += open.truth(b, pest, "any") > 0;
        ++beds;
      }
    }
  }
  EXPECT_GT(dirty, beds / 8);
}

TEST_P(Doings, a_pulled_bed_is_empty_and_its_harvest_forgone) {
  Spot spot = worst(GetParam(), 190);
  spot.garden.pull(spot.bed, Debris::removed);
  EXPECT_EQ(spot.garden.plants_in(spot.bed), 0);
  EXPECT_EQ(spot.garden.planting_in(spot.bed), -1);
  for (const char* stage : {"nymph", "adult"}) EXPECT_EQ(spot.garden.truth(spot.bed, spot.pest, stage), 0) << spot.pest << ' ' << stage;
  EXPECT_EQ(spot.garden.look(spot.bed, spot.pest, "adult", 20, 0), 0);
  const History after = spot.garden.history(191);
  bool written = false;
  for (const auto& planting : after.plantings) written = written || (planting.bed == spot.bed && planting.removed == 190);
  EXPECT_TRUE(written);
}

TEST_P(Doings, kilograms_and_money_add_up) {
  double lost = 0.0, waited = 0.0;
  for (std::uint64_t seed = 2200; seed < 2212; ++seed) {
    Garden garden = make({GetParam(), seed});
    while (!garden.over()) {
      if (garden.today() % 12 == 0)
        for (int b = 0; b < garden.beds(); b += 2) garden.spray(b, "Trial Broad");
      garden.advance_day();
    }
    const BedLedger all = garden.totals();
    EXPECT_NEAR(all.potential_kg, all.picked_kg + all.lost_kg + all.waited_kg, 1e-6 * all.potential_kg);
    EXPECT_GE(all.lost_value, 0.0);
    EXPECT_LE(all.lost_value, all.value * (1.0 + 1e-9));
    lost += all.lost_kg;
    waited += all.waited_kg;
  }
  EXPECT_GT(lost, 0.0);
  EXPECT_GT(waited, 0.0);
}

TEST(People, broad_sprays_kill_enemies_and_patches_flare_up) {
  double enemies = 0.0, spared = 0.0;
  std::int64_t left_alone = 0, flared = 0;
  int gardens = 0;
  for (std::uint64_t seed = 2300; seed < 2380; ++seed) {
    Garden garden = make({Kind::patches, seed});
    garden.run_until(215);
    Garden sprayed = garden;
    double here = 0.0;
    for (int b = 0; b < garden.beds(); ++b) {
      sprayed.spray(b, "Trial Broad");
      enemies += sprayed.enemies(b);
      here += garden.enemies(b);
    }
    spared += here;
    if (garden.pests() != std::vector<std::string>{"TETRUR"} || garden.tally("TETRUR").alive < 500 || here < 0.5) continue;
    // Mites are hardly hit by it, their enemies are.
    garden.run_until(235);
    sprayed.run_until(235);
    ++gardens;
    left_alone += garden.tally("TETRUR").alive;
    flared += sprayed.tally("TETRUR").alive;
  }
  EXPECT_GT(spared, 1.0);
  EXPECT_NEAR(enemies / spared, 0.15, 0.08);
  ASSERT_GT(gardens, 1);
  EXPECT_GT(flared, left_alone);
}

TEST(People, between_a_tenth_and_a_third_of_bed_visits_are_missed) {
  int made = 0, missed = 0;
  for (const Spec spec : training()) {
    if (spec.seed % 4 != 0) continue;
    Garden garden = make(spec);
    std::map<int, std::set<int>> counted, due;  // by day
    while (!garden.over()) {
      const int day = garden.today();
      for (int b = 0; b < garden.beds(); ++b)
        for (const auto& pest : garden.pests())
          if (garden.is_host(b, pest)) due[day].insert(b);
      const std::size_t before = garden.history(day).counts.size();
      garden.advance_day(People::record);
      const auto counts = garden.history(garden.today()).counts;
      for (std::size_t i = before; i < counts.size(); ++i) counted[day].insert(counts[i].bed);
    }
    // Days on which somebody went round in a garden that was full-grown: who wasn't seen was missed.
    for (const auto& [day, beds] : counted) {
      if (day < 170 || day > 200) continue;
      made += static_cast<int>(beds.size());
      missed += static_cast<int>(due[day].size() - beds.size());
    }
  }
  ASSERT_GT(made, 300);
  const double share = static_cast<double>(missed) / (made + missed);
  EXPECT_GT(share, 0.1);
  EXPECT_LT(share, 0.33);
}

TEST(People, scouts_come_every_three_to_seven_days_and_miss_some_beds) {
  for (const Spec spec : training()) {
    if (spec.seed % 5 != 0) continue;
    Garden garden = make(spec);
    garden.run_until(last_day, People::record);
    const History h = garden.history(last_day);
    std::set<int> days;
    for (const auto& count : h.counts) {
      EXPECT_GE(count.plants, 1);
      EXPECT_LE(count.plants, 30);
      EXPECT_GE(count.count, 0);
      days.insert(count.day);
    }
    if (days.size() < 8) continue;
    int before = -1, least = 99;
    for (const int day : days) {
      if (before >= 0) least = std::min(least, day - before);
      before = day;
    }
    EXPECT_GE(least, 3);
    EXPECT_LE(least, 7);
  }
}

TEST(People, a_record_grows_and_is_never_rewritten) {
  for (const Spec spec : {Spec{Kind::walkers, 61}, Spec{Kind::pulses, 62}, Spec{Kind::patches, 63}}) {
    Garden garden = make(spec);
    garden.run_until(200, People::record);
    const History then = garden.history(200);
    garden.run_until(260, People::record);
    const History again = garden.history(200), now = garden.history(260);
    ASSERT_LE(then.counts.size(), again.counts.size());
    ASSERT_LT(then.counts.size(), now.counts.size());
    for (std::size_t i = 0; i < then.counts.size(); ++i) {
      EXPECT_EQ(then.counts[i].count, again.counts[i].count);
      EXPECT_LT(then.counts[i].day, 200);
    }
    EXPECT_EQ(then.station.size(), 200U);
    EXPECT_GE(then.past_years.size(), 6U * 365U);
    ASSERT_EQ(then.forecast.size(), 7U);
    EXPECT_EQ(then.forecast.front().day, 200);
  }
}

TEST(People, forecasts_err_more_the_farther_ahead) {
  double near = 0.0, far = 0.0;
  for (std::uint64_t seed = 10; seed < 30; ++seed) {
    Garden garden = make({Kind::pulses, seed});
    garden.run_until(last_day);
    const History h = garden.history(last_day);
    for (int day = 120; day < 280; day += 10) {
      const auto told = garden.history(day).forecast;
      const auto error = [&](std::size_t lead) {
        const double e = told[lead].tmax_c - h.station[static_cast<std::size_t>(day) + lead].tmax_c;
        return e * e;
      };
      near += error(0);
      far += error(6);
    }
  }
  EXPECT_GT(far, 3.0 * near);
  EXPECT_GT(near, 0.0);
}

}  // namespace
}  // namespace leafturn::gardens
