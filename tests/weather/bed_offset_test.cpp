// A bed's offset from made-up series whose offset is known.
#include "core/weather/bed_offset.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/base/random.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::weather {
namespace {

Date start() { return *Date::from_ymd(2026, 4, 1); }

Day make(int i, double min, double max) {
  Day day;
  day.date = start() + Days{i};
  day.min = Temperature::celsius(min);
  day.max = Temperature::celsius(max);
  return day;
}

struct Pair {
  DailySeries station, bed;
};

// The bed is `low` and `high` off the station, with noise of `sd` a day; every tenth day its thermometer stood in the sun or lay on the
// ground: 15 K off.
Pair made_up(int days, double low, double high, double sd, bool outliers, std::uint64_t seed = 7) {
  num::Place place;
  place.seed = seed;
  num::Draws draws{place};
  std::vector<Day> station, bed;
  for (int i = 0; i < days; ++i) {
    const double min = 8.0 + 4.0 * draws.normal();
    const double max = min + 10.0 + 3.0 * draws.uniform();
    const double wild = outliers && i % 10 == 3 ? 15.0 : 0.0;
    station.push_back(make(i, min, max));
    bed.push_back(make(i, min + low + sd * draws.normal() - wild, max + high + sd * draws.normal() + wild));
  }
  return {*DailySeries::from_days(station), *DailySeries::from_days(bed)};
}

TEST(BedOffset, is_not_learned_below_ten_days) {
  const Pair nine = made_up(9, -2, 1, 0.1, false);
  EXPECT_FALSE(learn_offset(nine.station, nine.bed).min);
  const Pair ten = made_up(10, -2, 1, 0.1, false);
  const BedOffset learned = learn_offset(ten.station, ten.bed);
  ASSERT_TRUE(learned.min && learned.max);
  EXPECT_EQ(learned.min->days, 10);
  EXPECT_NEAR(learned.min->offset.kelvin(), learned.min->median.kelvin() / 2.0, 1e-12) << "n/(n + n0) = 10/20";
}

TEST(BedOffset, a_plain_offset_is_found_exactly_and_shrunk) {
  const Pair pair = made_up(30, -2.5, 0.75, 0.0, false);
  const BedOffset learned = learn_offset(pair.station, pair.bed);
  EXPECT_NEAR(learned.min->median.kelvin(), -2.5, 1e-12);
  EXPECT_NEAR(learned.max->median.kelvin(), 0.75, 1e-12);
  EXPECT_NEAR(learned.min->offset.kelvin(), -2.5 * 30.0 / 40.0, 1e-12);
  EXPECT_NEAR(learned.min->standard_error.kelvin(), 0.0, 1e-12);
}

TEST(BedOffset, one_day_in_ten_wild_does_not_move_it) {
  int min_inside = 0, max_inside = 0;
  double mean_of_wild = 0.0;
  constexpr int runs = 200;
  for (int run = 0; run < runs; ++run) {
    const Pair pair = made_up(60, -2.0, 1.0, 0.8, true, static_cast<std::uint64_t>(run));
    const BedOffset learned = learn_offset(pair.station, pair.bed);
    min_inside += std::abs(learned.min->median.kelvin() + 2.0) <= 3.0 * learned.min->standard_error.kelvin() ? 1 : 0;
    max_inside += std::abs(learned.max->median.kelvin() - 1.0) <= 3.0 * learned.max->standard_error.kelvin() ? 1 : 0;
    for (std::size_t i = 0; i < 60; ++i) mean_of_wild += (*pair.bed.days()[i].min - *pair.station.days()[i].min).kelvin() / (60.0 * runs);
  }
  EXPECT_LT(mean_of_wild, -3.3) << "the mean is pulled by 1.5 K; the median isn't";
  // One-sided outliers of a share ε move the median of a normal sample by Φ⁻¹(0.5/(1 − ε)) = 0.14 sd, which is one standard error here:
  // three standard errors then hold nearly always.
  EXPECT_GE(min_inside, runs * 95 / 100);
  EXPECT_GE(max_inside, runs * 95 / 100);
}

// The spread of the medians of many clean series must be what the standard error says.
TEST(BedOffset, the_standard_error_is_the_spread_of_the_median) {
  double sum = 0.0, squares = 0.0, told = 0.0;
  constexpr int runs = 2000;
  for (int run = 0; run < runs; ++run) {
    const Pair pair = made_up(61, -1.0, 0.0, 0.8, false, static_cast<std::uint64_t>(run));
    const auto learned = learn_offset(pair.station, pair.bed);
    const double m = learned.min->median.kelvin();
    sum += m / runs;
    squares += m * m / runs;
    told += learned.min->standard_error.kelvin() / runs;
  }
  test::check_row(
      {"bed_offset.standard_error", "61 normal daily differences with sd 0.8 K: told standard error over the spread of the median",
       "asymptotic variance of the sample median, πσ²/2n (from memory)", "memory", test::From::memory, 1.0, 0.06, ""},
      told / std::sqrt(squares - sum * sum));
}

TEST(BedOffset, counts_only_days_that_both_measured) {
  Pair pair = made_up(20, -2, 1, 0.0, false);
  std::vector<Day> bed(pair.bed.days().begin(), pair.bed.days().end());
  std::vector<Day> station(pair.station.days().begin(), pair.station.days().end());
  bed[0].filled = true;
  station[1].filled = true;
  bed[2].max.reset();
  bed.push_back(make(40, 0, 10));  // the station has no such day
  const auto learned = learn_offset(*DailySeries::from_days(station), *DailySeries::from_days(bed));
  EXPECT_EQ(learned.min->days, 18);
  EXPECT_EQ(learned.max->days, 17);
  const auto none = learn_offset(DailySeries{}, pair.bed);
  EXPECT_FALSE(none.min || none.max);
}

TEST(BedOffset, apply_moves_extremes_and_keeps_the_rest) {
  BedOffset offset;
  offset.min = LearnedOffset{TemperatureSpan::kelvin(4), TemperatureSpan::kelvin(3), TemperatureSpan::kelvin(0.1), 30};
  Day wide = make(0, 5, 15), narrow = make(1, 8, 9), lost = make(2, 5, 15), hot = make(3, 59, 60);
  wide.rain = Length::millimetres(3);
  wide.filled = true;
  lost.min.reset();
  const auto moved = apply(*DailySeries::from_days({wide, narrow, lost, hot}), offset);
  EXPECT_NEAR(moved.days()[0].min->celsius(), 8.0, 1e-12);
  EXPECT_EQ(moved.days()[0].max->celsius(), 15.0) << "not learned, not moved";
  EXPECT_EQ(moved.days()[0].rain, wide.rain);
  EXPECT_TRUE(moved.days()[0].filled);
  EXPECT_NEAR(moved.days()[1].min->celsius(), 10.0, 1e-12) << "11 and 9 cross: both their mean";
  EXPECT_NEAR(moved.days()[1].max->celsius(), 10.0, 1e-12);
  EXPECT_FALSE(moved.days()[2].min);
  EXPECT_EQ(moved.days()[3].min->celsius(), 60.0) << "held within the limits";
  EXPECT_EQ(apply(*DailySeries::from_days({narrow}), BedOffset{}).days()[0].min, narrow.min);
  EXPECT_TRUE(apply(DailySeries{}, offset).empty());
}

TEST(BedOffset, air_cools_with_height) {
  test::check_row({"weather.lapse.icao", "1000 m higher", "ICAO standard atmosphere, 6.5 K/km (from memory)", "memory", test::From::memory,
                   -6.5, 1e-12, "K"},
                  lapse(Length::kilometres(1)).kelvin());
  EXPECT_NEAR(lapse(Length::metres(-200)).kelvin(), 1.3, 1e-12);
}

}  // namespace
}  // namespace leafturn::weather
