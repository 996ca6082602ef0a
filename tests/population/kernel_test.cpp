// The chains in lanes against what they stand for: Erlang stages, their differential equations in real weather, Lotka's growth.
#include "core/population/kernel.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <optional>

#include "core/base/random.hpp"
#include "core/phenology/felt.hpp"
#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"
#include "io/weather_csv.hpp"
#include "tests/population/chain_ode.hpp"
#include "tests/population/one_bed.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::population {
namespace {

using test::ChainOde;
using test::check_row;
using test::From;
using test::OneBed;

const pest::Library& library() {
  static const auto found = io::built_in_library();
  return *found;
}

const Date first_day = *Date::from_ymd(2025, 4, 1);

weather::HourlySeries constant(double celsius, std::size_t days) {
  weather::HourlyDay day;
  day.fill(Temperature::celsius(celsius));
  weather::HourlySeries out{first_day, {}};
  out.days.assign(days, day);
  return out;
}

/// Stages `counts` long, each of `days` days, and one day of steps that pass them so fast.
struct Invented {
  Life life;
  std::vector<Step> day;
};
Invented invented(const std::vector<std::size_t>& counts, const std::vector<double>& days) {
  Invented out;
  for (const std::size_t count : counts) {
    LifeStage stage;
    stage.first = out.life.substages;
    stage.count = count;
    out.life.substages += count;
    out.life.stages.push_back(stage);
  }
  out.life.laying = counts.size() - 1;
  out.life.arriving = counts.size() - 1;
  Step step;
  for (std::size_t s = 0; s < counts.size(); ++s) step.passed.push_back(static_cast<float>(static_cast<double>(counts[s]) / days[s] / 8.0));
  out.day.assign(steps_a_day, step);
  return out;
}

// Every stage of every dossier, alone, from its first substage on: the share still in it after each half day.
double worst_against_erlang(double celsius, int& stages_seen) {
  double worst = 0.0;
  for (const pest::Dossier& dossier : library().pests) {
    const Life life = life_of(dossier);
    const weather::HourlySeries air = constant(celsius, 2);
    const StepTable table = steps_of(life, air, first_day + Days{1}, first_day + Days{1});
    for (std::size_t s = 0; s < life.stages.size(); ++s) {
      const auto days = phenology::days_at(dossier.stages[s].rate, Temperature::celsius(celsius));
      if (!days || *days > 150.0) continue;
      ++stages_seen;
      OneBed bed{life};
      bed.put(life.stages[s].first, 1.0F);
      for (int half = 1; half * 0.5 < 2.5 * *days; ++half) {
        bed.run(table.day(first_day + Days{1}).subspan(half % 2 == 1 ? 0 : 4, 4));
        const double held = 1.0 - phenology::erlang_cdf(static_cast<int>(life.stages[s].count), *days, 0.5 * half);
        worst = std::max(worst, std::abs(static_cast<double>(bed.in_stage(s)) - held));
      }
    }
  }
  return worst;
}

TEST(Kernel, stages_are_left_as_erlang_says) {
  for (const double celsius : {15.0, 18.0, 22.0, 26.0, 30.0}) {
    int stages_seen = 0;
    const double worst = worst_against_erlang(celsius, stages_seen);
    EXPECT_GT(stages_seen, 90);
    check_row(
        {"population.erlang." + std::to_string(static_cast<int>(celsius)),
         "largest miss of the share still in a stage, every stage of every dossier at " + std::to_string(static_cast<int>(celsius)) + " C",
         "Erlang distribution function with the chain's own k (Manetsch 1976)", "derived", From::independent, 0.0, 0.005, ""},
        worst);
  }
}

TEST(Kernel, whole_days_at_once_still_leave_as_erlang_says) {
  for (const double days : {1.3, 2.0, 5.0, 20.0})
    for (const std::size_t k : {1U, 2U, 3U, 6U, 12U, 24U}) {
      const Invented it = invented({k, 1}, {days, 30.0});
      OneBed bed{it.life};
      bed.put(0, 1.0F);
      for (int day = 1; day < 3.0 * days; ++day) {
        bed.run(it.day);
        EXPECT_NEAR(static_cast<double>(bed.in_stage(0)), 1.0 - phenology::erlang_cdf(static_cast<int>(k), days, day), 0.005)
            << k << " substages, " << days << " days, day " << day;
      }
    }
}

// Where a long-lived stage of few substages follows a short one of many, what is passed in one pass beyond the boundary must be what the
// later stage would pass.
TEST(Kernel, keeps_the_time_of_a_slow_stage_behind_a_fast_one) {
  const Invented it = invented({24, 3, 1}, {1.3, 12.0, 1000.0});
  OneBed bed{it.life};
  bed.put(0, 1.0F);
  ChainOde ode{it.life};
  ode.state()[0] = 1.0;
  for (int day = 1; day < 40; ++day) {
    bed.run(it.day);
    for (int hour = 0; hour < 24; ++hour) ode.hour({1.0 / 1.3, 1.0 / 12.0, 0.001}, {0, 0, 0}, 0.0);
    for (std::size_t s = 0; s < 3; ++s) EXPECT_NEAR(static_cast<double>(bed.in_stage(s)), ode.in_stage(s), 0.004) << s << " day " << day;
  }
}

std::optional<weather::HourlySeries> milwaukee() {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  if (!path) return std::nullopt;
  const auto file = io::read_weather_csv(test::read_file(*path), "milwaukee", io::UnitsChoice::us);
  if (!file) return std::nullopt;
  return weather::hourly(weather::fill_gaps(file->series), {Angle::degrees(43.0), Angle::degrees(-87.9), Length::metres(205)});
}

std::optional<weather::HourlySeries> new_york() {
  const auto path = test::shared_data("nyc-hourly-2013.csv");
  if (!path) return std::nullopt;
  io::WeatherReading reading;
  reading.units = io::UnitsChoice::us;
  reading.station = "LGA";
  reading.offset_seconds = -5 * 3600;
  const auto file = io::read_weather_csv(test::read_file(*path), "new-york", reading);
  if (!file) return std::nullopt;
  return weather::hourly(weather::fill_gaps(file->series), {Angle::degrees(40.8), Angle::degrees(-73.9), Length::metres(3)});
}

struct Worst {
  double by_stage = 0.0;  ///< share of the total
  double total = 0.0;
  double laid = 0.0;
};

// Ten of each stage's first on `from`, then `days` days with the dossier's own deaths and laying.
Worst against_ode(const Life& life, const weather::HourlySeries& air, Date from, int days) {
  const StepTable table = steps_of(life, air, from, from + Days{days});
  OneBed bed{life};
  ChainOde ode{life};
  std::vector<double> deaths;
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    bed.put(life.stages[s].first, 10.0F);
    ode.state()[life.stages[s].first] = 10.0;
    deaths.push_back(life.stages[s].loss_per_day);
    bed.die(s, static_cast<float>(deaths[s]));
  }
  std::fill(bed.young.begin(), bed.young.end(), static_cast<float>(life.young_per_adult));
  phenology::Felt felt{*life.dossier, air};
  Worst worst;
  for (int day = 0; day < days; ++day) {
    const Date date = from + Days{day};
    bed.run(table.day(date));
    for (std::size_t hour = 0; hour < 24; ++hour) {
      const auto rates = felt.rates(date, hour);
      ode.hour({rates.begin(), rates.end()}, deaths, life.young_per_adult);
    }
    double total = 0.0;
    for (std::size_t s = 0; s < life.stages.size(); ++s) total += ode.in_stage(s);
    for (std::size_t s = 0; s < life.stages.size(); ++s)
      worst.by_stage = std::max(worst.by_stage, std::abs(static_cast<double>(bed.in_stage(s)) - ode.in_stage(s)) / total);
    worst.total = std::max(worst.total, std::abs(bed.total() / total - 1.0));
  }
  worst.laid = std::abs(static_cast<double>(bed.laid[0]) / ode.laid() - 1.0);
  return worst;
}

void check_season(const std::string& place, const weather::HourlySeries& air, Date from, const std::string& pest) {
  const Life life = life_of(*library().pest(pest));
  const Worst worst = against_ode(life, air, from, 120);
  const auto row = [&](const std::string& id, const std::string& what) {
    return test::Row{"population.ode." + place + "." + pest + "." + id,
                     what + ", 120 days from " + from.iso(),
                     "every substage's differential equation, Runge-Kutta at one minute, double precision (tests/population/chain_ode)",
                     "derived",
                     From::quadrature,
                     0.0,
                     0.01,
                     ""};
  };
  check_row(row("stage", "largest miss of any stage on any day, of the total"), worst.by_stage);
  check_row(row("total", "largest miss of the total on any day"), worst.total);
  check_row(row("laid", "miss of all young laid"), worst.laid);
}

TEST(Kernel, follows_the_differential_equations_through_a_milwaukee_season) {
  const auto air = milwaukee();
  LEAFTURN_SKIP_WITHOUT(air, "the Milwaukee station's record (NOAA GHCN-Daily)");
  for (const char* pest : {"cabbage-aphid", "imported-cabbageworm", "squash-bug", "colorado-potato-beetle"})
    check_season("milwaukee", *air, *Date::from_ymd(2025, 5, 15), pest);
}

TEST(Kernel, follows_the_differential_equations_through_a_new_york_season) {
  const auto air = new_york();
  LEAFTURN_SKIP_WITHOUT(air, "the New York hourly record of 2013 (NOAA)");
  for (const char* pest : {"green-peach-aphid", "diamondback-moth", "harlequin-bug"})
    check_season("new-york", *air, *Date::from_ymd(2013, 5, 1), pest);
}

// Growth of a population left alone at a constant temperature, against the root of Lotka's equation.
TEST(Kernel, grows_as_lotka_says) {
  struct Case {
    const char* pest;
    double celsius;
    int settle, over;
  };
  for (const Case& c :
       {Case{"green-peach-aphid", 20.0, 60, 30}, Case{"diamondback-moth", 25.0, 120, 60}, Case{"harlequin-bug", 28.0, 400, 150}}) {
    const Life life = life_of(*library().pest(c.pest));
    const auto expected = growth_per_day(life, Temperature::celsius(c.celsius));
    ASSERT_TRUE(expected) << c.pest;
    const StepTable table = steps_of(life, constant(c.celsius, 1), first_day, first_day);
    OneBed bed{life};
    bed.put(life.stages[life.laying].first, 1.0F);
    std::fill(bed.young.begin(), bed.young.end(), static_cast<float>(life.young_per_adult));
    for (std::size_t s = 0; s < life.stages.size(); ++s) bed.die(s, static_cast<float>(life.stages[s].loss_per_day));
    double logs = 0.0, at_settled = 0.0;
    for (int day = 0; day < c.settle + c.over; ++day) {
      if (day == c.settle) at_settled = logs;
      bed.run(table.day(first_day));
      const double total = bed.total();
      logs += std::log(total);
      for (float& v : bed.x) v /= static_cast<float>(total);
    }
    check_row(
        {std::string("population.lotka.") + c.pest, "growth of the model a day at " + std::to_string(static_cast<int>(c.celsius)) + " C",
         "Lotka's equation with Erlang stages, exact root", "derived", From::independent, *expected, 0.01 * std::abs(*expected), "1/d"},
        (logs - at_settled) / c.over);
  }
}

// methods.md 3.2: the share that lives through a stage with deaths at μ is (1 + μ·D/k)^−k.
TEST(Kernel, loses_in_a_stage_what_the_closed_form_says) {
  for (const double hazard : {0.02, 0.1, 0.4}) {
    const Invented it = invented({24, 6, 1}, {4.0, 9.0, 1e9});
    OneBed bed{it.life};
    bed.put(0, 1.0F);
    bed.die(0, static_cast<float>(hazard));
    bed.die(1, static_cast<float>(0.25 * hazard));
    for (int day = 0; day < 60; ++day) bed.run(it.day);
    const double expected = std::pow(1.0 + hazard * 4.0 / 24.0, -24.0) * std::pow(1.0 + 0.25 * hazard * 9.0 / 6.0, -6.0);
    check_row({"population.attrition." + std::to_string(static_cast<int>(100.0 * hazard)),
               "share living through two stages of 4 and 9 days, deaths " + std::to_string(hazard) + " and a quarter of it a day",
               "(1 + mu*D/k)^-k (derived from the chain)", "derived", From::independent, expected, 0.003 * expected, ""},
              static_cast<double>(bed.in_stage(2)));
  }
}

TEST(Kernel, nobody_is_lost_and_every_adult_lays_all_her_young) {
  Invented it = invented({7, 1, 24, 1, 5}, {3.0, 2.0, 1.3, 0.7, 8.0});
  it.life.rest_decided = 2;
  it.life.rests = 3;
  OneBed bed{it.life};
  bed.put(0, 3.0F);
  bed.put(20, 2.0F);
  bed.resting_share = 0.3F;
  for (int day = 0; day < 6; ++day) {
    const double before_end = bed.total() + static_cast<double>(bed.resting[0]);
    if (static_cast<double>(bed.in_stage(4)) < 1e-3) {
      EXPECT_NEAR(before_end, 5.0, 2e-3);
    }
    bed.run(std::span<const Step>(it.day).first(static_cast<std::size_t>(1 + day)));
  }
  for (int day = 0; day < 80; ++day) bed.run(it.day);
  EXPECT_NEAR(static_cast<double>(bed.resting[0]), 0.3 * 5.0, 1e-4);
  EXPECT_LT(bed.total(), 1e-9);

  OneBed adults{it.life};
  adults.put(it.life.stages[4].first, 2.0F);
  std::fill(adults.young.begin(), adults.young.end(), 50.0F);
  // The young never grow up here: all of the second day on is nothing but the adults' own laying.
  it.life.stages[0].loss_per_day = 0.0;
  adults.die(0, 50.0F);
  for (int day = 0; day < 80; ++day) adults.run(it.day);
  EXPECT_NEAR(static_cast<double>(adults.laid[0]), 100.0, 0.3);
}

TEST(Kernel, conserves_by_the_coefficients_themselves) {
  num::Draws draws({.seed = 11, .use = num::Use::test});
  for (int n = 0; n < 200; ++n) {
    std::vector<std::size_t> counts;
    std::vector<double> days;
    for (int s = 0; s < 5; ++s) {
      counts.push_back(1 + static_cast<std::size_t>(draws.uniform() * 24.0));
      days.push_back(std::exp(4.0 * draws.uniform()));
    }
    counts.push_back(24);
    days.push_back(1e9);
    const Invented it = invented(counts, days);
    OneBed bed{it.life};
    for (std::size_t i = 0; i < it.life.substages; ++i) bed.put(i, static_cast<float>(draws.exponential()));
    const double before = bed.total();
    for (int day = 0; day < 4; ++day) {
      bed.run(it.day);
      for (const float v : bed.x) ASSERT_GE(v, 0.0F);
    }
    ASSERT_NEAR(bed.total() / before, 1.0, 3e-6);
  }
}

struct Random {
  Lanes16 x;
  Lanes16 hazard;
  std::vector<float> young;
};
Random random_block(const Life& life, std::uint64_t seed) {
  num::Draws draws({.seed = seed, .use = num::Use::test});
  Random out{Lanes16(life.substages * lanes), Lanes16(life.stages.size() * lanes), {}};
  for (float& v : out.x) v = draws.uniform() < 0.3 ? 0.0F : static_cast<float>(std::exp(6.0 * draws.normal()));
  for (float& v : out.hazard) v = static_cast<float>(0.2 * draws.exponential());
  for (std::size_t i = 0; i < lanes; ++i) out.young.push_back(static_cast<float>(40.0 * draws.exponential()));
  return out;
}

TEST(Kernel, is_linear_and_never_negative) {
  Invented it = invented({24, 1, 9, 2, 16, 6}, {2.5, 0.6, 3.0, 5.0, 2.2, 11.0});
  it.life.rest_decided = 3;
  const population::Run run = run_of(it.life, it.day);
  for (std::uint64_t seed = 1; seed <= 50; ++seed) {
    const Random one = random_block(it.life, seed);
    const Random other = random_block(it.life, seed + 1000);
    const auto after = [&](const Lanes16& x) {
      Lanes16 out = x;
      std::vector<float> laid(lanes), resting(lanes);
      for (int day = 0; day < 5; ++day) advance_block({&it.life, &run, one.hazard, one.young, laid, 0.2F, resting, out}, widest_lanes());
      out.insert(out.end(), laid.begin(), laid.end());
      out.insert(out.end(), resting.begin(), resting.end());
      return out;
    };
    Lanes16 both(one.x.size());
    for (std::size_t i = 0; i < both.size(); ++i) both[i] = 2.0F * one.x[i] + 0.25F * other.x[i];
    const Lanes16 a = after(one.x), b = after(other.x), sum = after(both);
    for (std::size_t i = 0; i < sum.size(); ++i) {
      const double expected = 2.0 * static_cast<double>(a[i]) + 0.25 * static_cast<double>(b[i]);
      ASSERT_NEAR(static_cast<double>(sum[i]), expected, 2e-5 * expected + 1e-30);
      ASSERT_GE(sum[i], 0.0F);
    }
  }
}

TEST(Kernel, an_empty_bed_stays_empty_and_cold_only_kills) {
  Invented it = invented({24, 6}, {3.0, 10.0});
  OneBed bed{it.life};
  bed.die(0, 0.1F);
  for (int day = 0; day < 10; ++day) bed.run(it.day);
  EXPECT_EQ(bed.total(), 0.0);
  bed.put(3, 2.0F);
  for (Step& step : it.day) std::fill(step.passed.begin(), step.passed.end(), 0.0F);
  for (int day = 0; day < 10; ++day) bed.run(it.day);
  EXPECT_NEAR(static_cast<double>(bed.x[3 * lanes]), 2.0 * std::exp(-1.0), 1e-5);
  EXPECT_EQ(bed.x[4 * lanes], 0.0F);
}

std::uint64_t digest(std::span<const float> values, std::uint64_t from = 14695981039346656037ULL) {
  std::uint64_t hash = from;  // FNV-1a
  for (const float v : values) {
    std::uint32_t bits = 0;
    std::memcpy(&bits, &v, sizeof bits);
    for (int i = 0; i < 4; ++i) hash = (hash ^ ((bits >> (8 * i)) & 0xFFU)) * 1099511628211ULL;
  }
  return hash;
}

std::uint64_t digest_of_a_season(Lanes used) {
  Invented it = invented({7, 24, 1, 9, 16, 6}, {3.0, 2.2, 0.8, 4.0, 2.0, 12.0});
  it.life.rest_decided = 3;
  Random block = random_block(it.life, 5);
  std::vector<float> laid(lanes), resting(lanes), totals(it.life.stages.size() * lanes);
  for (int day = 0; day < 60; ++day) {
    std::vector<Step> today = it.day;
    for (Step& step : today)
      for (float& passed : step.passed) passed *= 0.02F * static_cast<float>(day);
    const population::Run run = run_of(it.life, today);
    advance_block({&it.life, &run, block.hazard, block.young, laid, 0.01F * static_cast<float>(day), resting, block.x}, used);
    flush_tiny(block.x, used);
  }
  stage_totals(it.life, block.x, totals, used);
  return digest(totals, digest(resting, digest(laid, digest(block.x))));
}

// A change of this number is a change of everybody's results: it is the same in every build and in every instruction set.
TEST(Kernel, gives_the_same_bytes_in_every_width_and_build) {
  EXPECT_EQ(digest_of_a_season(Lanes::baseline), 5469784452676732231U);
  for (const Lanes used : {Lanes::avx2, Lanes::avx512})
    if (used <= widest_lanes()) {
      EXPECT_EQ(digest_of_a_season(used), digest_of_a_season(Lanes::baseline));
    }
}

}  // namespace
}  // namespace leafturn::population
