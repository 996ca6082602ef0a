// The three forms against what can be written down: development at a constant temperature, with nobody dying, coming or laying; how
// insects laid on unequal plants are spread; how many a person finds. And the numbers beneath: elementary functions, draws, the day's
// length.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/gardens/seeds.hpp"
#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

constexpr double steady_c = 21.0;

// A garden of the form with its weather steady and its pests sterile, immortal and settled.
World laboratory(Spec spec) {
  World world = make_world(spec);
  for (Day& day : world.real) day = {steady_c, steady_c, 0.0};
  for (double& light : world.day_length) light = 16.0;
  for (std::size_t p = 0; p < world.pests.size(); ++p) {
    PestHere& pest = world.pests[p];
    pest.mortality = pest.fecundity = pest.arrivals = pest.mobility = pest.enemies = 0.0;
    pest.stays_local = 1.0;
    const Species& bio = pest.species();
    for (Heat& heat : world.heat[p]) heat = {pest.speed * development(spec.kind, bio, steady_c), steady_c - bio.lower_c, 0.5, 0.0};
  }
  return world;
}

struct Trial {
  double mean = 0.0, variance = 0.0;  ///< days from egg to adult, as seen each morning
  std::vector<double> young;          ///< share not yet adult, each morning
  int number = 0;
};

// An egg a plant, so that nobody crowds, in every planting that carries the first pest, eight times over, each time in a garden of its own.
Trial raise(World world) {
  Trial trial;
  trial.young.assign(200, 0.0);
  std::vector<double> living(200, 0.0);  // a handful die of each other's company all the same; patches count the old among the dead
  for (int again = 0; again < 8; ++again, world.spec.seed += 17)
    for (int i = 0; i < static_cast<int>(world.plantings.size()); ++i) {
      if (world.liking(0, i) <= 0.0) continue;
      std::vector<BedState> beds(world.beds.size());
      const int bed = world.planting(i).bed;
      beds[static_cast<std::size_t>(bed)].planting = i;
      auto form = world.spec.kind == Kind::walkers  ? make_walkers(world)
                  : world.spec.kind == Kind::pulses ? make_pulses(world)
                                                    : make_patches(world);
      const int adult = world.pest(0).species().adult(), start = std::min(150, world.planting(i).set_out);
      form->put_eggs({world, beds, start}, 0, bed, world.planting(i).plants);
      for (int day = 0; day < 200; ++day) {
        const ByStage now = form->totals(0, bed);
        for (int s = 0; s < adult; ++s) trial.young[static_cast<std::size_t>(day)] += now[static_cast<std::size_t>(s)];
        living[static_cast<std::size_t>(day)] +=
            world.planting(i).plants - (world.spec.kind == Kind::patches ? 0.0 : static_cast<double>(form->tally(0).died));
        form->advance({world, beds, std::min(start + day, 300)});
      }
      trial.number += world.planting(i).plants;
    }
  double before = 1.0;
  for (std::size_t day = 0; day < trial.young.size(); ++day) {
    trial.young[day] /= living[day];
    const double entered = before - trial.young[day], t = static_cast<double>(day);
    trial.mean += entered * t;
    trial.variance += entered * t * t;
    before = trial.young[day];
  }
  trial.variance -= trial.mean * trial.mean;
  return trial;
}

class Laboratory : public testing::TestWithParam<Kind> {};
INSTANTIATE_TEST_SUITE_P(, Laboratory, testing::Values(Kind::walkers, Kind::pulses, Kind::patches),
                         [](const auto& one) { return std::string(name_of(one.param)); });

TEST_P(Laboratory, eggs_become_adults_when_the_closed_form_says) {
  for (std::uint64_t seed = 40; seed < 46; ++seed) {
    const World world = laboratory({GetParam(), seed});
    const Trial trial = raise(world);
    ASSERT_GE(trial.number, 100);
    ASSERT_LT(trial.young.back(), 0.01) << seed;
    const PestHere& pest = world.pest(0);
    const Species& bio = pest.species();
    const double days = 1.0 / (pest.speed * development(GetParam(), bio, steady_c));
    double mean = days, variance = 0.0, late = 0.5;  // a stage begun in a day is seen the next morning
    if (GetParam() == Kind::walkers) {
      // Days = Σ share / own, over speed: E[1/own] for own even on 0.9 … 1.1, E[1/speed] ≈ 1 + cv² + 3 cv⁴.
      const double own = std::log(1.1 / 0.9) / 0.2, own_variance = 1.0 / 0.99 - own * own, quick = 1.0 + 0.0064 + 3.0 * 0.0064 * 0.0064;
      double shares = 0.0;
      for (const Stage& stage : bio.stages) shares += stage.share * stage.share;
      mean = days * own * quick;
      variance = days * days * (0.0064 + shares * own_variance);
    } else if (GetParam() == Kind::pulses) {
      variance = days * days * 0.1027485343 * 0.1027485343;  // Weibull 0.75, 0.28, 2.6
    } else {
      // Three age classes a stage, each left with chance p every half day.
      for (const Stage& stage : bio.stages) {
        const double p = std::min(1.0, 1.5 / days / stage.share);
        variance += 3.0 * (1.0 - p) / (p * p) / 4.0;
      }
      late = 0.25;
    }
    const double error = std::sqrt(variance / trial.number);
    EXPECT_NEAR(trial.mean - late, mean, 4.0 * error + 0.1) << bio.key << " seed " << seed;
    EXPECT_NEAR(trial.variance, variance + 1.0 / 12.0, 4.0 * variance * std::sqrt(3.0 / trial.number) + 0.2) << bio.key << " seed " << seed;
  }
}

TEST(ClosedForms, a_pulse_follows_the_weibull_curve) {
  const World world = laboratory({Kind::pulses, 41});
  const Trial trial = raise(world);
  const double rate = world.pest(0).speed * development(Kind::pulses, world.pest(0).species(), steady_c);
  int between = 0;
  for (std::size_t day = 0; day < trial.young.size(); ++day) {
    const double x = rate * static_cast<double>(day) * 0.99869892;
    const double young = x <= 0.75 ? 1.0 : std::exp(-std::pow((x - 0.75) / 0.28, 2.6));
    EXPECT_NEAR(trial.young[day], young, 4.5 * std::sqrt(young * (1.0 - young) / trial.number) + 1e-9) << day;
    between += young > 0.05 && young < 0.95;
  }
  EXPECT_GT(between, 5);
}

TEST_P(Laboratory, plants_are_unequal_as_drawn) {
  // On plants with gamma weights of shape k, (s² − m) / m² estimates 1/k; the weights of a bed are made to sum to one, which takes 1/n off.
  double found = 0.0, expected = 0.0;
  for (std::uint64_t seed = 300; seed < 420; ++seed) {
    const World world = laboratory({GetParam(), seed});
    for (int i = 0; i < static_cast<int>(world.plantings.size()); ++i) {
      const int plants = world.planting(i).plants;
      if (world.liking(0, i) <= 0.0 || plants < 30) continue;
      std::vector<BedState> beds(world.beds.size());
      const int bed = world.planting(i).bed;
      beds[static_cast<std::size_t>(bed)].planting = i;
      const Scene scene{world, beds, 150};
      auto form = GetParam() == Kind::walkers ? make_walkers(world) : GetParam() == Kind::pulses ? make_pulses(world) : make_patches(world);
      form->put_eggs(scene, 0, bed, 6 * plants);
      std::vector<Lying> lying;
      form->list(scene, 0, bed, lying);
      std::vector<int> on(static_cast<std::size_t>(plants), 0);
      for (const Lying& one : lying) on[static_cast<std::size_t>(one.plant)] += one.number;
      double squares = 0.0;
      for (const int n : on) squares += (n - 6.0) * (n - 6.0);
      found += (squares / (plants - 1) - 6.0) / 36.0;
      expected += 1.0 / world.pest(0).plant_k;
    }
  }
  EXPECT_GT(expected, 50.0);
  EXPECT_NEAR(found / expected, 1.0, 0.12);
}

TEST_P(Laboratory, people_find_what_they_can_detect) {
  for (const int person : {0, 1}) {
    double found = 0.0, expected = 0.0, variance = 0.0;
    for (const Spec spec : seeds_from(5000, 14)) {
      if (spec.kind != GetParam()) continue;
      Garden garden = make(spec);
      while (!garden.over()) {
        garden.advance_day();
        if (garden.today() % 7 != 0) continue;
        for (int b = 0; b < garden.beds(); ++b)
          for (const auto& pest : garden.pests()) {
            if (!garden.is_host(b, pest)) continue;
            // Every plant, adults and masses: no small stages among them. Masses stand for themselves, single eggs aren't asked.
            for (const char* stage : {"adult", "egg-mass"}) {
              const auto words = garden.stage_words(pest);
              if (std::find(words.begin(), words.end(), stage) == words.end()) continue;
              const double there = static_cast<double>(garden.truth(b, pest, stage)), chance = garden.detection(person, pest, stage);
              found += garden.look(b, pest, stage, 1000, person);
              expected += there * chance;
              variance += there * chance * (1.0 - chance);
            }
          }
      }
    }
    ASSERT_GT(variance, 100.0);
    EXPECT_NEAR(found, expected, 4.0 * std::sqrt(variance));
  }
}

TEST(ClosedForms, elementary_functions_are_those_of_the_library) {
  for (double x = -30.0; x < 30.0; x += 0.37) {
    EXPECT_NEAR(exp_of(x) / std::exp(x), 1.0, 1e-13);
    EXPECT_NEAR(sin_of(x), std::sin(x), 1e-13);
    EXPECT_NEAR(log_of(std::exp(x)), x, 1e-12);
  }
  EXPECT_NEAR(pow_of(2.0, 0.5), 1.4142135623730951, 1e-14);
}

TEST(ClosedForms, draws_have_their_moments) {
  struct Case {
    const char* what;
    double mean, variance;
    double (*one)(Draw&);
  };
  const Case cases[] = {{"unit", 0.5, 1.0 / 12.0, [](Draw& d) { return d.unit(); }},
                        {"normal", 0.0, 1.0, [](Draw& d) { return d.normal(); }},
                        {"gamma 0.6", 0.6, 0.6, [](Draw& d) { return d.gamma(0.6); }},
                        {"gamma 3", 3.0, 3.0, [](Draw& d) { return d.gamma(3.0); }},
                        {"poisson 2.5", 2.5, 2.5, [](Draw& d) { return static_cast<double>(d.poisson(2.5)); }},
                        {"poisson 80", 80.0, 80.0, [](Draw& d) { return static_cast<double>(d.poisson(80.0)); }},
                        {"binomial 9", 2.7, 1.89, [](Draw& d) { return static_cast<double>(d.binomial(9, 0.3)); }},
                        {"binomial 40", 38.0, 1.9, [](Draw& d) { return static_cast<double>(d.binomial(40, 0.95)); }},
                        {"binomial 500", 200.0, 120.0, [](Draw& d) { return static_cast<double>(d.binomial(500, 0.4)); }}};
  constexpr int n = 40000;
  for (const Case& c : cases) {
    Draw draw{7, 0xD0};
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < n; ++i) {
      const double x = c.one(draw) - c.mean;
      sum += x;
      squares += x * x;
    }
    EXPECT_NEAR(sum / n, 0.0, 4.0 * std::sqrt(c.variance / n)) << c.what;
    EXPECT_NEAR(squares / n / c.variance, 1.0, 0.06) << c.what;
  }
}

TEST(ClosedForms, the_day_is_as_long_as_the_published_model_says) {
  // CBM model, Forsythe et al. 1995, p = 0.8333 (values worked out from its formula): 40° N on days 1, 172 and 355, 45° N on day 227.
  EXPECT_NEAR(day_length_h(40.0, 0), 9.376, 0.1);
  EXPECT_NEAR(day_length_h(40.0, 171), 15.016, 0.1);
  EXPECT_NEAR(day_length_h(40.0, 354), 9.324, 0.1);
  EXPECT_NEAR(day_length_h(45.0, 226), 14.140, 0.1);
}

TEST(ClosedForms, development_starts_at_the_threshold_and_has_the_published_sum) {
  // Colorado potato beetle on potato: 19.9 d at 30 °C (Iraqi study); diamondback moth on cabbage 20.4-22.8 d at 20 °C (Golizadeh 2007,
  // Marchioro & Foerster 2011: 33-36 at 15); cabbage aphid 12.5 d at 15 °C (Satar 2005), 20.0 at 13 (Raworth 1984).
  EXPECT_NEAR(1.0 / development(Kind::walkers, species_called("LPTNDE"), 30.0), 19.9, 0.2);
  EXPECT_NEAR(1.0 / development(Kind::pulses, species_called("PLUTMA"), 20.0), 21.5, 1.5);
  const double aphid = 1.0 / development(Kind::patches, species_called("BRVCBR"), 15.0);
  EXPECT_GT(aphid, 11.0);
  EXPECT_LT(aphid, 18.0);
  for (const Species& bio : species())
    for (const Kind kind : {Kind::walkers, Kind::pulses, Kind::patches}) {
      EXPECT_EQ(development(kind, bio, bio.lower_c), 0.0);
      EXPECT_GT(development(kind, bio, bio.lower_c + 1.0), 0.0);
      EXPECT_EQ(development(kind, bio, bio.upper_c) > 0.0, kind == Kind::pulses);
      double shares = 0.0;
      for (const Stage& stage : bio.stages) shares += stage.share;
      EXPECT_NEAR(shares, 1.0, 0.011) << bio.key;
    }
}

}  // namespace
}  // namespace leafturn::gardens
