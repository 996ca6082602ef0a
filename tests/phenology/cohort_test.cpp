#include "core/phenology/cohort.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <functional>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

#include "core/phenology/rate.hpp"
#include "tests/phenology/invented_pest.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::phenology {
namespace {

using test::celsius;
using test::check_row;
using test::day_of;
using test::days_since;
using test::entry;
using test::From;
using test::invented_pest;
using test::milwaukee;
using test::run;

std::array<std::optional<CivilTime>, 5> list(const Quantiles& q) { return {q.p05, q.p25, q.p50, q.p75, q.p95}; }
constexpr std::array<double, 5> marks{0.05, 0.25, 0.50, 0.75, 0.95};

double quantile(const std::function<double(double)>& cdf, double p, double low, double high) {
  for (int i = 0; i < 80; ++i) {
    const double middle = 0.5 * (low + high);
    (cdf(middle) < p ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

// Entering over one day and then an Erlang stage: the mean of the Erlang distribution over the day.
double erlang_after_a_day(int k, double mean, double t) {
  constexpr int parts = 400;
  double sum = 0.0;
  for (int i = 0; i < parts; ++i) sum += erlang_cdf(k, mean, t - (i + 0.5) / parts) / parts;
  return sum;
}

TEST(Season, OneStageAtConstantTemperatureIsErlang) {
  pest::Dossier d = invented_pest();
  d.stages[0].spread.value = 0.25;
  d.biofix.stage = "egg";
  const Date start = day_of(2025, 4, 10);
  const Season s = run(d, test::steady_weather(start, 120, 20.0));
  const auto got = list(entry(s.overwintered, 1).enter);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const double expected = quantile([](double t) { return erlang_after_a_day(16, 6.0, t); }, marks[i], 0, 60);
    check_row({"cohort.erlang." + std::to_string(i),
               "share " + std::to_string(marks[i]) + " out of a stage of 60 C d (k 16) at 10 C above its threshold",
               "Erlang distribution, closed form", "derived", From::independent, expected, 0.005 * expected, "d"},
              days_since(start, got[i].value()));
  }
}

// Density of a sum of stages by plain convolution on a grid.
TEST(Season, SeveralStagesAtConstantTemperatureAreASumOfErlangs) {
  pest::Dossier d = invented_pest();
  d.biofix.stage = "egg";
  const Date start = day_of(2025, 4, 10);
  const Season s = run(d, test::steady_weather(start, 200, 22.0));
  constexpr double step = 0.01;
  constexpr std::size_t cells = 8000;
  std::vector<double> density(cells, 0.0);
  for (std::size_t i = 0; i < 100; ++i) density[i] = 1.0;  // over the first day
  const std::array<std::pair<int, double>, 4> stages{{{25, 5.0}, {16, 70.0 / 12.0}, {16, 80.0 / 12.0}, {44, 100.0 / 12.0}}};
  for (const auto& [k, mean] : stages) {
    std::vector<double> next(cells, 0.0);
    std::vector<double> mass;
    for (std::size_t i = 0; i < 3000; ++i)
      mass.push_back(erlang_cdf(k, mean, static_cast<double>(i + 1) * step) - erlang_cdf(k, mean, static_cast<double>(i) * step));
    for (std::size_t i = 0; i < cells; ++i)
      for (std::size_t j = 0; j <= std::min<std::size_t>(i, mass.size() - 1); ++j) next[i] += density[i - j] * mass[j];
    density = next;
  }
  const auto cdf = [&](double t) {
    double sum = 0.0;
    // Each of the four convolutions puts a cell's mass half a cell early.
    for (std::size_t i = 0; i < cells && (static_cast<double>(i) + 0.5 + 2.0) * step <= t; ++i) sum += density[i] * step;
    return sum;
  };
  const auto got = list(entry(s.overwintered, 4).enter);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const double expected = quantile(cdf, marks[i], 0, 70);
    check_row({"cohort.sum-of-erlangs." + std::to_string(i),
               "share " + std::to_string(marks[i]) + " adult after four stages at constant temperature",
               "numerical convolution of Erlang densities", "derived", From::independent, expected, 0.005 * expected, "d"},
              days_since(start, got[i].value()));
  }
}

// The same differential equations by Heun's method at two-minute steps, sharing no code with the chain. Diapause included.
struct SmallSteps {
  std::vector<std::vector<double>> entered_by_hour;  // [hour][stage], cumulative
  std::vector<double> laid_by_hour;
  double resting = 0.0;
};

SmallSteps by_small_steps(const pest::Dossier& d, const weather::HourlySeries& air, std::size_t first_hour,
                          const std::vector<double>& inflow, std::size_t inflow_stage, const std::function<double(Date)>& bound_share) {
  const std::size_t stages = d.stages.size();
  std::vector<int> k;
  for (const auto& s : d.stages) k.push_back(static_cast<int>(std::lround(1.0 / (s.spread.value * s.spread.value))));
  // Two populations: the free in [stage], the bound in [stages + stage].
  std::vector<std::vector<double>> x(2 * stages);
  for (std::size_t s = 0; s < stages; ++s)
    x[s].assign(static_cast<std::size_t>(k[s]), 0.0), x[stages + s].assign(static_cast<std::size_t>(k[s]), 0.0);
  SmallSteps result;
  std::vector<double> entered(stages, 0.0);
  for (std::size_t h = 0; h < inflow.size(); ++h) {
    const std::size_t at = first_hour + h;
    const double t = (*air.days[at / 24])[at % 24].celsius();
    const double q = bound_share(air.first + Days{static_cast<int>(at / 24)});
    std::vector<double> r;
    for (std::size_t s = 0; s < stages; ++s)
      r.push_back(std::max(0.0, t - d.stages[s].rate.linear()->lower.value.celsius()) /
                  d.stages[s].rate.linear()->constant.value.celsius_days());
    double laid = 0.0;
    constexpr double dt = 1.0 / 720.0;
    using State = std::vector<std::vector<double>>;
    const auto slope = [&](const State& y, std::vector<double>& flow, double& laying, double& to_rest) {
      State dy = y;
      flow.assign(stages, 0.0);
      flow[inflow_stage] = inflow[h] * 24.0;
      to_rest = 0.0;
      for (std::size_t p = 0; p < 2; ++p) {
        double into = 0.0;
        for (std::size_t s = 0; s < stages; ++s) {
          if (p == 0 && s == inflow_stage) into += inflow[h] * 24.0;
          if (p == 1 && s == 3) {  // the pupa is where the bound stop
            to_rest += into;
            into = 0.0;
          }
          if (p == 1 && s < 3) into = 0.0;
          for (std::size_t i = 0; i < y[p * stages + s].size(); ++i) {
            const double out = k[s] * r[s] * y[p * stages + s][i];
            dy[p * stages + s][i] = into - out;
            into = out;
          }
          if (s + 1 < stages && p == 0) {
            flow[s + 1] += into;
            if (s == 2) {  // larva-2 decides; the bound enter the pupa and rest
              to_rest += q * into;
              into *= 1.0 - q;
            }
          }
        }
      }
      laying = 0.0;
      for (const double v : y[stages - 1]) laying += r[stages - 1] * v;
      return dy;
    };
    for (int part = 0; part < 30; ++part) {
      std::vector<double> f1, f2;
      double l1 = 0, l2 = 0, r1 = 0, r2 = 0;
      const State d1 = slope(x, f1, l1, r1);
      State y = x;
      for (std::size_t a = 0; a < y.size(); ++a)
        for (std::size_t b = 0; b < y[a].size(); ++b) y[a][b] += dt * d1[a][b];
      const State d2 = slope(y, f2, l2, r2);
      for (std::size_t a = 0; a < y.size(); ++a)
        for (std::size_t b = 0; b < y[a].size(); ++b) x[a][b] += 0.5 * dt * (d1[a][b] + d2[a][b]);
      for (std::size_t s = 0; s < stages; ++s) entered[s] += 0.5 * dt * (f1[s] + f2[s]);
      laid += 0.5 * dt * (l1 + l2);
      result.resting += 0.5 * dt * (r1 + r2);
    }
    result.entered_by_hour.push_back(entered);
    result.laid_by_hour.push_back(laid);
  }
  return result;
}

// CBM day length written out again (Forsythe et al. 1995), sunrise to sunset.
double day_length(double latitude, int day_of_year) {
  const double theta = 0.2163108 + 2.0 * std::atan(0.9671396 * std::tan(0.00860 * (day_of_year - 186)));
  const double phi = std::asin(0.39795 * std::cos(theta));
  const double l = latitude * M_PI / 180.0;
  return 24.0 - 24.0 / M_PI * std::acos((std::sin(0.8333 * M_PI / 180.0) + std::sin(l) * std::sin(phi)) / (std::cos(l) * std::cos(phi)));
}

double bound_on(Date date, double critical, double slope) {
  if (day_length(43.0, date.day_of_year() + 1) >= day_length(43.0, date.day_of_year())) return 0.0;
  return 0.5 * std::erfc((day_length(43.0, date.day_of_year()) - critical) / slope / std::sqrt(2.0));
}

TEST(Season, AgreesWithTwoMinuteStepsUnderRealisticWeather) {
  pest::Dossier d = invented_pest();
  d.diapause = pest::Diapause{"larva", "pupa", {14.0, {}}, 0.4};
  const auto air = test::temperate_year(2025);
  const Season s = run(d, air);
  ASSERT_GE(s.generations.size(), 2u);
  const std::size_t first_hour = 24 * static_cast<std::size_t>((day_of(2025, 4, 10) - air.first).count);
  std::vector<double> inflow(365 * 24 - first_hour, 0.0);
  for (std::size_t h = 0; h < 24; ++h) inflow[h] = 1.0 / 24.0;
  std::size_t inflow_stage = 5;
  for (int g = 0; g <= 2; ++g) {
    const auto slow =
        by_small_steps(d, air, first_hour, inflow, inflow_stage, [&](Date date) { return g == 0 ? 0.0 : bound_on(date, 14.0, 0.4); });
    if (g > 0) {
      const Generation& got = s.generations[static_cast<std::size_t>(g) - 1];
      const std::string id = "cohort.small-steps.g" + std::to_string(g);
      const std::string source = "the same chain by Heun's method at two-minute steps, separate code";
      check_row(
          {id + ".resting", "share at rest, generation " + std::to_string(g), source, "derived", From::independent, slow.resting, 1e-5, ""},
          got.resting_share);
      check_row({id + ".laid", "share of the unit laid", source, "derived", From::independent, slow.entered_by_hour.back()[0], 1e-5, ""},
                got.laid_share);
      check_row({id + ".complete", "share adult", source, "derived", From::independent, slow.entered_by_hour.back()[4], 1e-5, ""},
                got.complete_share);
      for (const std::size_t stage : {1u, 3u, 4u})
        for (std::size_t i = 0; i < marks.size(); ++i) {
          std::optional<double> expected;
          double before = 0.0;
          for (std::size_t h = 0; h < slow.entered_by_hour.size() && !expected; ++h) {
            const double after = slow.entered_by_hour[h][stage];
            if (after >= marks[i]) expected = (static_cast<double>(h) + (marks[i] - before) / (after - before)) / 24.0;
            before = after;
          }
          const auto got_time = list(entry(got, stage).enter)[i];
          ASSERT_EQ(expected.has_value(), got_time.has_value()) << "generation " << g << " stage " << stage << " mark " << marks[i];
          if (expected)
            check_row({id + ".s" + std::to_string(stage) + "." + std::to_string(i), "time of entry under a sine year", source, "derived",
                       From::independent, *expected, 0.01, "d"},
                      days_since(day_of(2025, 4, 10), *got_time));
        }
    }
    inflow = slow.laid_by_hour;
    inflow_stage = 0;
  }
}

TEST(Season, NobodyIsLostOrMade) {
  pest::Dossier d = invented_pest();
  for (const bool pupal : {true, false}) {
    d.diapause = pupal ? pest::Diapause{"larva-1", "pupa", {14.5, {}}, 0.5} : pest::Diapause{"adult", "adult", {14.5, {}}, 0.5};
    const Season s = run(d, test::temperate_year(2025, 3.0));
    ASSERT_GE(s.generations.size(), 2u);
    const std::size_t stages = d.stages.size();
    for (std::size_t g = 1; g <= s.generations.size(); ++g) {
      std::vector<double> entered(stages, 0.0);
      for (const DayStand& day : s.days) {
        for (std::size_t i = 0; i < stages; ++i) entered[i] += day.entered[g][i];
        // Up to the stage where some rest, the standing are those who came less those who went on.
        const std::size_t upto = pupal ? 3 : 4;
        for (std::size_t i = 0; i < upto; ++i) EXPECT_NEAR(day.share[g][i], entered[i] - entered[i + 1], 1e-8);
      }
      const Generation& generation = s.generations[g - 1];
      EXPECT_NEAR(entered[0], generation.laid_share, 1e-8);
      const auto& last = s.days.back().share[g];
      const std::size_t rest_stage = pupal ? 3 : 4;
      EXPECT_NEAR(generation.resting_share, entered[rest_stage] - entered[rest_stage + 1] - last[rest_stage], 1e-8);
      EXPECT_LE(generation.laid_share, 1.0 + 1e-9);
    }
  }
}

TEST(Season, RestingShareFollowsTheDayLengthCurve) {
  pest::Dossier d = invented_pest();
  d.diapause = pest::Diapause{"larva", "pupa", {14.0, {}}, 0.5};
  const Season s = run(d, test::temperate_year(2025, 3.0));
  ASSERT_GE(s.generations.size(), 3u);
  for (std::size_t g = 1; g <= s.generations.size(); ++g) {
    double expected = 0.0;
    for (const DayStand& day : s.days) expected += day.entered[g][3] * bound_on(day.date, 14.0, 0.5);
    check_row({"cohort.diapause.g" + std::to_string(g), "share at rest, generation " + std::to_string(g),
               "normal distribution in the day length of Forsythe et al. 1995 (Ecol. Model. 80:87-95), written out in the test", "derived",
               From::independent, expected, 1e-9, ""},
              s.generations[g - 1].resting_share);
  }
  // Adults that feel a short day stay where they are; the others lay.
  d.diapause = pest::Diapause{"adult", "adult", {14.5, {}}, 0.5};
  const Season adults = run(d, test::temperate_year(2025, 3.0));
  double decided = 0.0;
  for (const DayStand& day : adults.days) {
    const double q = bound_on(day.date, 14.5, 0.5);
    if (q < 0.999) decided += day.entered[2][5] * q / (1.0 - q);
  }
  EXPECT_LE(decided, adults.generations[1].resting_share);
  EXPECT_GT(decided, 0.5 * adults.generations[1].resting_share);
  // Everyone decides on days shorter by six slopes: all rest, nobody lays.
  d.diapause->critical_hours.value = 17.0;
  const Season none = run(d, test::steady_weather(day_of(2025, 1, 1), 365, 20.0), day_of(2025, 7, 1));
  ASSERT_EQ(none.generations.size(), 1u);
  EXPECT_NEAR(none.generations[0].resting_share, none.generations[0].complete_share, 1e-3);
  EXPECT_GT(none.generations[0].resting_share, 0.99);
  // In spring the same short days bind nobody.
  d.diapause->critical_hours.value = 14.5;
  const Season spring = run(d, test::steady_weather(day_of(2025, 1, 1), 365, 30.0), day_of(2025, 2, 1), day_of(2025, 6, 1));
  EXPECT_NEAR(spring.generations[0].resting_share, 0.0, 1e-12);
}

TEST(Season, QuantilesComeInOrderWithinAndBetweenStages) {
  const auto air = test::temperate_year(2025, 2.0);
  const pest::Dossier d = invented_pest();
  const Season s = run(d, air);
  ASSERT_GE(s.generations.size(), 2u);
  for (const Generation& g : s.generations)
    for (std::size_t i = 0; i < g.stages.size(); ++i) {
      const auto times = list(g.stages[i].enter);
      for (std::size_t m = 1; m < 5; ++m) {
        if (times[m]) {
          ASSERT_TRUE(times[m - 1]);
          EXPECT_LE(*times[m - 1], *times[m]);
        }
      }
      if (i > 0)
        for (std::size_t m = 0; m < 5; ++m)
          if (times[m]) {
            const auto before = list(g.stages[i - 1].enter)[m];
            ASSERT_TRUE(before);
            EXPECT_LE(*before, *times[m]);
          }
    }
}

TEST(Season, WarmerIsNeverLater) {
  std::mt19937_64 random{7};
  std::normal_distribution<double> noise{0.0, 4.0};
  const pest::Dossier d = invented_pest();
  for (int trial = 0; trial < 6; ++trial) {
    auto cool = test::temperate_year(2025);
    for (auto& day : cool.days) {
      const double shift = noise(random);
      for (auto& t : *day) t = t + TemperatureSpan::kelvin(shift);
    }
    auto warm = cool;
    for (auto& day : warm.days)
      for (auto& t : *day) t = t + TemperatureSpan::kelvin(0.5);
    const Season a = run(d, cool);
    const Season b = run(d, warm);
    ASSERT_LE(a.generations.size(), b.generations.size());
    for (std::size_t g = 0; g < a.generations.size(); ++g)
      for (std::size_t i = 0; i < a.generations[g].stages.size(); ++i)
        for (std::size_t m = 0; m < 5; ++m) {
          const auto late = list(a.generations[g].stages[i].enter)[m];
          const auto early = list(b.generations[g].stages[i].enter)[m];
          if (late) {
            ASSERT_TRUE(early);
            EXPECT_LE(*early, *late);
          }
        }
  }
}

TEST(Season, ABiofixADayLaterShiftsASteadySeasonByADay) {
  const pest::Dossier d = invented_pest();
  const auto air = test::steady_weather(day_of(2025, 1, 1), 365, 21.0);
  const Season a = run(d, air, day_of(2025, 5, 1));
  const Season b = run(d, air, day_of(2025, 5, 2));
  EXPECT_EQ(a.biofix.code, "biofix.given");
  for (std::size_t g = 0; g < 2; ++g)
    for (std::size_t i = 0; i < d.stages.size(); ++i)
      EXPECT_EQ(entry(a.generations[g], i).enter.p50.value().date + Days{1}, entry(b.generations[g], i).enter.p50.value().date);
}

TEST(Season, AGapHoldsEveryoneForItsDays) {
  const pest::Dossier d = invented_pest();
  const auto whole = test::steady_weather(day_of(2025, 1, 1), 365, 20.0);
  auto holed = whole;
  for (int i = 0; i < 5; ++i) holed.days[static_cast<std::size_t>((day_of(2025, 4, 14) - whole.first).count + i)] = std::nullopt;
  const Season a = run(d, whole);
  const Season b = run(d, holed);
  EXPECT_TRUE(a.gaps.empty());
  ASSERT_EQ(b.gaps.size(), 1u);
  EXPECT_EQ(b.gaps[0].first, day_of(2025, 4, 14));
  EXPECT_EQ(b.gaps[0].last, day_of(2025, 4, 18));
  const auto before = entry(a.generations[0], 4).enter.p50.value();
  const auto after = entry(b.generations[0], 4).enter.p50.value();
  EXPECT_EQ(before.date + Days{5}, after.date);
  EXPECT_NEAR(before.second_of_day, after.second_of_day, 60);
}

TEST(Season, LaterWeatherOnlyAddsToWhatIsKnown) {
  pest::Dossier d = invented_pest();
  d.diapause = pest::Diapause{"larva", "pupa", {14.0, {}}, 0.4};
  const auto air = test::temperate_year(2025, 2.0);
  const Season whole = run(d, air);
  const Season part = run(d, air, {}, day_of(2025, 7, 20));
  EXPECT_EQ(part.days.back().date, day_of(2025, 7, 20));
  ASSERT_GE(part.generations.size(), 1u);
  for (std::size_t g = 0; g < part.generations.size(); ++g)
    for (std::size_t i = 0; i < d.stages.size(); ++i)
      for (std::size_t m = 0; m < 5; ++m) {
        const auto seen = list(part.generations[g].stages[i].enter)[m];
        if (seen) {
          EXPECT_EQ(*seen, list(whole.generations[g].stages[i].enter)[m].value());
        }
      }
}

TEST(Season, FuturesThatBeginAlikeGiveTheirOwnSeasonsBitByBit) {
  pest::Dossier d = invented_pest();
  d.diapause = pest::Diapause{"larva", "pupa", {14.0, {}}, 0.4};
  d.stages[3].in_soil = true;
  d.biofix.kind = pest::Biofix::Kind::degree_days;
  d.biofix.lower = celsius(8);
  d.biofix.sum = DegreeDays::celsius_days(60);
  for (const int parting : {60, 130, 210}) {
    std::vector<weather::HourlySeries> futures(4, test::temperate_year(2025, 2.0));
    for (std::size_t f = 1; f < futures.size(); ++f)
      for (std::size_t day = static_cast<std::size_t>(parting); day < 365; ++day)
        for (auto& t : *futures[f].days[day]) t = t + TemperatureSpan::kelvin(static_cast<double>(f) - 2.0);
    futures[3].days[static_cast<std::size_t>(parting) + 9] = std::nullopt;
    SeasonRequest request;
    request.dossier = &d;
    request.site = milwaukee;
    request.year = 2025;
    const auto together = seasons(request, futures);
    ASSERT_EQ(together.size(), futures.size());
    for (std::size_t f = 0; f < futures.size(); ++f) {
      const Season alone = run(d, futures[f]);
      EXPECT_EQ(alone.biofix.date, together[f].biofix.date);
      ASSERT_EQ(alone.generations.size(), together[f].generations.size());
      ASSERT_EQ(alone.days.size(), together[f].days.size());
      for (std::size_t day = 0; day < alone.days.size(); ++day) {
        EXPECT_EQ(alone.days[day].share, together[f].days[day].share);
        EXPECT_EQ(alone.days[day].entered, together[f].days[day].entered);
      }
      for (std::size_t g = 0; g < alone.generations.size(); ++g)
        for (std::size_t i = 0; i < d.stages.size(); ++i)
          EXPECT_EQ(list(alone.generations[g].stages[i].enter), list(together[f].generations[g].stages[i].enter));
    }
  }
}

}  // namespace
}  // namespace leafturn::phenology
