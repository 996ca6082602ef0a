// The dossiers of the cabbage family's pests against published durations. Where a figure was fitted to a duration, the row says so: it is a
// residual, not a test of the fit.
#include <gtest/gtest.h>

#include <cmath>

#include "core/phenology/cohort.hpp"
#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"
#include "io/weather_csv.hpp"
#include "tests/pest/dossiers.hpp"
#include "tests/phenology/invented_pest.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn {
namespace {

using test::check_row;
using test::check_row_between;
using test::days;
using test::dossier;
using test::figure;
using test::From;
using test::known_miss;
using test::set_of;

std::string at(double celsius) { return std::to_string(static_cast<int>(celsius)) + "c"; }

// ---- Diamondback moth

TEST(PublishedBrassica, DiamondbackDaysOfTheSetInUse) {
  const auto& d = dossier("diamondback-moth");
  const double expected[][2] = {{15.0, 35.9}, {20.0, 22.8}, {25.0, 16.7}};
  for (const auto& [t, e] : expected)
    check_row({"pest.PLUTMA.brazil." + at(t), "egg to adult, six stages added up, from T0 6.3 °C and 312.5 °C·d",
               "Marchioro & Foerster 2011, Neotrop. Entomol. 40", "derived", From::independent, e, 0.05, "d"},
              days(d, "egg", "pupa", t));
}

TEST(PublishedBrassica, DiamondbackSetsKeptBeside) {
  const auto& d = dossier("diamondback-moth");
  const struct {
    const char* id;
    const char* on;
    double t, days;
  } rows[] = {{"iran-2007-cauliflower", "cauliflower", 15, 33.2}, {"iran-2007-cauliflower", "cauliflower", 20, 20.4},
              {"iran-2007-cauliflower", "cauliflower", 25, 14.7}, {"iran-2007-cabbage", "cabbage", 15, 36.5},
              {"iran-2007-cabbage", "cabbage", 20, 21.5},         {"iran-2007-cabbage", "cabbage", 25, 15.2}};
  for (const auto& row : rows)
    check_row({std::string("pest.PLUTMA.iran.") + row.on + "." + at(row.t), "egg to adult from T0 and K, a set kept beside",
               "Golizadeh et al. 2007, Insect Sci.", "derived", From::independent, row.days, 0.05, "d"},
              phenology::days_at(set_of(d, row.id).model, Temperature::celsius(row.t)).value_or(0.0));
}

TEST(PublishedBrassica, DiamondbackDiesInTheHeat) {
  const auto& d = dossier("diamondback-moth");
  check_row({"pest.PLUTMA.lethal", "share of larval development a day at 35 °C: all larvae died", "Marchioro & Foerster 2011; Shirai 2000",
             "seen", From::published, 0.0, 0.0, "1/d"},
            phenology::rate_per_day(d.stages[*d.stage_index("larva-2")].rate, Temperature::celsius(35)));
  check_row_between({"pest.PLUTMA.completes.32c", "egg to adult at 32.5 °C, where development was completed", "Marchioro & Foerster 2011",
                     "seen", From::published, 0, 0, "d"},
                    5.0, 30.0, days(d, "egg", "pupa", 32.5));
  // The straight line in use is the slowest of five populations.
  known_miss({"pest.PLUTMA.cycle.25c", "egg to adult at 25 °C; the source says 'about 14 d' of the whole cycle",
              "natural-history page, New Zealand", "seen-2nd", From::published, 14.0, 0.0, "d"},
             days(d, "egg", "pupa", 25.0), 2.0, 3.5);
}

// ---- Cabbage looper

TEST(PublishedBrassica, LooperEggsAsPublished) {
  const auto& d = dossier("cabbage-looper");
  const double expected[][2] = {{32.0, 2.0}, {27.0, 3.0}, {20.0, 5.0}, {15.0, 10.0}};
  for (const auto& [t, e] : expected)
    check_row({"pest.TRIPNI.egg." + at(t), "egg (the dossier holds this very table)", "Jackson et al. 1969 in Capinera, EENY-116", "seen",
               From::published, e, 1e-9, "d"},
              days(d, "egg", "egg", t));
}

TEST(PublishedBrassica, LooperWholeDoesNotAddUpFromItsParts) {
  const auto& d = dossier("cabbage-looper");
  known_miss(
      {"pest.TRIPNI.total.32c", "egg to adult at 32 °C, stages added up", "Capinera, EENY-116", "memory", From::memory, 18.0, 0.0, "d"},
      days(d, "egg", "pupa", 32.0), -2.5, -1.0);
  known_miss(
      {"pest.TRIPNI.total.21c", "egg to adult at 21 °C, stages added up", "Capinera, EENY-116", "memory", From::memory, 25.0, 0.0, "d"},
      days(d, "egg", "pupa", 21.0), 10.0, 15.0);
}

// ---- Cabbage aphid

TEST(PublishedBrassica, AphidBirthToAdult) {
  const auto& d = dossier("cabbage-aphid");
  check_row({"pest.BRVCBR.total.15c", "birth to adult at 15 °C (the line's own authors measured it)",
             "Satar, Kersting & Ulusoy 2005, Turk. J. Agric. For. 29:341-346", "seen", From::published, 12.5, 0.05 * 12.5, "d"},
            days(d, "nymph-1", "nymph-4", 15.0));
  // Half of the time at 25, half at 30 °C.
  check_row({"pest.BRVCBR.total.25-30c", "birth to adult, 25 and 30 °C in turns", "Satar, Kersting & Ulusoy 2005", "seen", From::published,
             6.0, 0.2, "d"},
            2.0 / (1.0 / days(d, "nymph-1", "nymph-4", 25.0) + 1.0 / days(d, "nymph-1", "nymph-4", 30.0)));
  const double vancouver[][2] = {{13.0, 20.0}, {18.0, 11.2}, {23.0, 7.7}};
  for (const auto& [t, e] : vancouver)
    check_row({"pest.BRVCBR.vancouver." + at(t), "birth to adult from T0 6.7 °C and 126 °C·d, a set kept beside",
               "Raworth 1984, Can. Entomol.", "derived", From::independent, e, 0.06, "d"},
              phenology::days_at(set_of(d, "vancouver-1984").model, Temperature::celsius(t)).value_or(0.0));
}

TEST(PublishedBrassica, AphidAdultLife) {
  const auto& d = dossier("cabbage-aphid");
  // One heat for the whole range: too long where it is cool, too short where it is hot.
  known_miss({"pest.BRVCBR.adult.15c", "adult life at 15 °C (fitted to, with 30 °C)", "Satar, Kersting & Ulusoy 2005", "seen",
              From::published, 16.3, 0.0, "d"},
             days(d, "adult-new", "adult-laying", 15.0), 2.5, 3.8);
  known_miss({"pest.BRVCBR.adult.30c", "adult life at 30 °C (fitted to, with 15 °C)", "Satar, Kersting & Ulusoy 2005", "seen",
              From::published, 9.8, 0.0, "d"},
             days(d, "adult-new", "adult-laying", 30.0), -2.0, -1.2);
}

// Young a female's daughters and theirs leave by discounting at r: the chain's own transform, young born as laying substages are passed.
double discounted_young(const pest::Dossier& d, double celsius, double r) {
  double product = d.laying.fecundity->value;
  for (const pest::Stage& stage : d.stages) {
    const int k = phenology::substages(stage.spread.value);
    const double step = 1.0 / (1.0 + r * phenology::days_at(stage.rate, Temperature::celsius(celsius)).value() / k);
    double births = 0.0;
    double passed = 1.0;
    for (int j = 0; j < k; ++j) {
      passed *= step;
      births += passed / k;
    }
    product *= stage.key == "adult-laying" ? births : passed;
  }
  return product;
}

// Euler-Lotka: the rate of increase at which they leave just one.
double rate_of_increase(const pest::Dossier& d, double celsius) {
  double low = 0.0;
  double high = 2.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (discounted_young(d, celsius, middle) > 1.0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

TEST(PublishedBrassica, AphidIncreaseAtConstantTemperatures) {
  // Nothing was fitted to it: development is the line of Satar's table, young are counted at Vancouver, adult life is fitted at 15 and 30
  // °C.
  const auto& d = dossier("cabbage-aphid");
  const std::string source = "Satar, Kersting & Ulusoy 2005, Turk. J. Agric. For. 29:341-346";
  check_row({"pest.BRVCBR.increase.25c", "rate of increase at 25 °C, the highest published", source, "seen", From::published, 0.317, 0.0317,
             "1/d"},
            rate_of_increase(d, 25.0));
  check_row(
      {"pest.BRVCBR.generation.15c", "generation time at 15 °C, ln(young)/increase", source, "seen", From::published, 22.6, 2.26, "d"},
      std::log(d.laying.fecundity->value) / rate_of_increase(d, 15.0));
  // A straight line of development and one number of young don't know that heat ruins them.
  known_miss({"pest.BRVCBR.increase.30c", "rate of increase at 30 °C", source, "seen", From::published, 0.037, 0.0, "1/d"},
             rate_of_increase(d, 30.0), 0.3, 0.45);
  known_miss({"pest.BRVCBR.generation.30c", "generation time at 30 °C", source, "seen", From::published, 11.3, 0.0, "d"},
             std::log(d.laying.fecundity->value) / rate_of_increase(d, 30.0), -3.0, -1.5);
  known_miss({"pest.BRVCBR.increase.20c.iran", "rate of increase at 20 °C; 40 % of nymphs survived there, here all do",
              "Fathipour et al. 2005, Iran", "seen", From::published, 0.187, 0.0, "1/d"},
             rate_of_increase(d, 20.0), 0.04, 0.1);
}

// ---- Crucifer flea beetle

TEST(PublishedBrassica, FleaBeetleEggToAdult) {
  const auto& d = dossier("crucifer-flea-beetle");
  const std::string source = "Kinoshita et al. 1979, Can. Entomol.";
  check_row({"pest.PHYECR.total.30c", "egg to adult at 30 °C", source, "seen", From::published, 24.0, 0.5, "d"},
            days(d, "egg", "pupa", 30.0));
  known_miss(
      {"pest.PHYECR.total.20c", "egg to adult at 20 °C (the paper's own line misses it)", source, "seen", From::published, 54.0, 0.0, "d"},
      days(d, "egg", "pupa", 20.0), -4.0, -2.5);
}

TEST(PublishedBrassica, FleaBeetleToFirstEggs) {
  const auto& d = dossier("crucifer-flea-beetle");
  const std::string source = "Kinoshita et al. 1979, Can. Entomol.";
  check_row({"pest.PHYECR.preoviposition.32c", "adult to first eggs at 32 °C", source, "seen", From::published, 3.8, 0.3, "d"},
            days(d, "adult-new", "adult-new", 32.0));
  known_miss({"pest.PHYECR.preoviposition.20c", "adult to first eggs at 20 °C, three degrees above the threshold", source, "seen",
              From::published, 22.0, 0.0, "d"},
             days(d, "adult-new", "adult-new", 20.0), -2.2, -1.2);
}

// ---- Root maggots

TEST(PublishedBrassica, CabbageMaggotSpringKeepsBothFigures) {
  const auto& d = dossier("cabbage-maggot");
  const std::string source = "Collier & Finch 1985, Bull. Entomol. Res.";
  EXPECT_TRUE(d.biofix.in_soil);
  check_row({"pest.HYLERA.spring.soil", "heat of the soil above 4 °C from 1 February to half of the flies: the one in use", source, "seen",
             From::published, 179.0, 0.0, "°C·d"},
            d.biofix.sum->celsius_days());
  check_row({"pest.HYLERA.spring.air", "the same of the air: kept beside", source, "seen", From::published, 230.0, 0.0, "°C·d"},
            figure(d, "spring_emergence_by_air").low);
}

// Days from `from` to when half of the unit had entered `adult-new`.
double flies_after(const pest::Dossier& d, const phenology::Generation& g, Date from) {
  for (const auto& entry : g.stages)
    if (entry.stage == *d.stage_index("adult-new") && entry.enter.p50)
      return (entry.enter.p50->date - from).count + entry.enter.p50->second_of_day / 86400.0;
  return 0.0;
}

TEST(PublishedBrassica, CabbageMaggotGeneration) {
  auto d = dossier("cabbage-maggot");
  d.diapause.reset();
  const Date start = test::day_of(2025, 2, 1);
  // 10 K above its threshold: a day is 10 °C·d.
  const auto season = test::run(d, test::steady_weather(start, 300, 16.0), start);
  ASSERT_GE(season.generations.size(), 3u);
  for (std::size_t g = 0; g + 1 < 3; ++g)
    check_row({"pest.HYLERA.generation." + std::to_string(g + 2), "heat above 6 °C from half of the flies to half of the next (fitted to)",
               "Finch & Collier, chapter", "seen", From::published, 580.0, 3.0, "°C·d"},
              10.0 * (flies_after(d, season.generations[g + 1], start) - flies_after(d, season.generations[g], start)));
}

TEST(PublishedBrassica, SeedcornMaggotFlights) {
  const auto& d = dossier("seedcorn-maggot");
  const Date start = test::day_of(2025, 1, 1);
  const auto season = test::run(d, test::steady_weather(start, 150, 13.9));
  ASSERT_GE(season.generations.size(), 2u);
  const double expected[] = {200.0, 600.0, 1000.0};
  for (std::size_t g = 0; g < 3; ++g)
    check_row({"pest.HYLEPL.flight." + std::to_string(g + 1), "heat above 3.9 °C from 1 January to half of the flies (fitted to)",
               "South Dakota State Univ. 2022; Funderburk et al. 1984", "seen", From::published, expected[g], 5.0, "°C·d"},
              10.0 * flies_after(d, g == 0 ? season.overwintered : season.generations[g - 1], start));
}

// ---- A real season, as far north as south-western Ontario. Nothing was fitted to how many generations there are.

std::optional<phenology::Season> milwaukee(const char* id, int year) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  if (!path) return std::nullopt;
  const auto file = io::read_weather_csv(test::read_file(*path), "milwaukee", io::UnitsChoice::us);
  if (!file) return std::nullopt;
  const weather::Site site{Angle::degrees(43.0), Angle::degrees(-87.9), Length::metres(205)};
  const auto air = weather::hourly(weather::fill_gaps(file->series), site);
  phenology::SeasonRequest request;
  request.dossier = &dossier(id);
  request.air = &air;
  request.site = site;
  request.year = year;
  return phenology::season(request);
}

TEST(MilwaukeeBrassica, CabbageMaggotHasThreeGenerationsAndAPartialFourth) {
  for (const int year : {2023, 2024, 2025}) {
    const auto s = milwaukee("cabbage-maggot", year);
    LEAFTURN_SKIP_WITHOUT(s, "the Milwaukee station's record (NOAA GHCN-Daily)");
    int laid = 0;
    for (const auto& g : s->generations) laid += g.laid_share >= 0.1 ? 1 : 0;
    check_row_between({"season.milwaukee.cabbage-maggot." + std::to_string(year), "generations with at least a tenth laid, Milwaukee",
                       "three and a partial fourth in south-western Ontario, rutabaga study 1970-73", "seen", From::published, 0, 0, ""},
                      3.0, 4.0, laid);
  }
}

TEST(MilwaukeeBrassica, FleaBeetleHasOneOrTwoGenerations) {
  for (const int year : {2023, 2024, 2025}) {
    const auto s = milwaukee("crucifer-flea-beetle", year);
    LEAFTURN_SKIP_WITHOUT(s, "the Milwaukee station's record (NOAA GHCN-Daily)");
    int grown = 0;
    for (const auto& g : s->generations) grown += g.complete_share >= 0.5 ? 1 : 0;
    check_row_between({"season.milwaukee.flea-beetle." + std::to_string(year), "generations at least half grown, Milwaukee",
                       "one in 1974, two in 1975 in south-western Ontario, Kinoshita et al. 1979", "seen", From::published, 0, 0, ""},
                      1.0, 2.0, grown);
  }
}

}  // namespace
}  // namespace leafturn
