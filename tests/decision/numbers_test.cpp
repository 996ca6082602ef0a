// What the population model says of a garden, and the brief that rests on it.

#include "core/decision/numbers.hpp"

#include <algorithm>
#include <numeric>

#include "core/decision/outlook.hpp"
#include "core/population/life.hpp"
#include "core/population/steps.hpp"
#include "tests/decision/support.hpp"

namespace leafturn::decision::test_garden {
namespace {

TEST(Spread, LeastValueThatHoldsTheShare) {
  std::vector<float> values(1000);
  std::iota(values.begin(), values.end(), 1.0F);
  std::reverse(values.begin(), values.end());
  const Spread s = spread_of(values);
  EXPECT_DOUBLE_EQ(s.mean, 500.5);
  EXPECT_DOUBLE_EQ(s.p025, 25.0);
  EXPECT_DOUBLE_EQ(s.p05, 50.0);
  EXPECT_DOUBLE_EQ(s.p25, 250.0);
  EXPECT_DOUBLE_EQ(s.p50, 500.0);
  EXPECT_DOUBLE_EQ(s.p95, 950.0);
  EXPECT_DOUBLE_EQ(s.p975, 975.0);
  const Spread one = spread_of({3.0F});
  EXPECT_DOUBLE_EQ(one.p025, 3.0);
  EXPECT_DOUBLE_EQ(one.p975, 3.0);
  const Spread two = spread_of({0.0F, 8.0F});
  EXPECT_DOUBLE_EQ(two.p50, 0.0);
  EXPECT_DOUBLE_EQ(two.p75, 8.0);
}

/// Kale at 20 °C with a few counts, and its filter.
struct Learning {
  Sketch sketch{"2025-06-20T06:00Z"};
  population::Life life = population::life_of(*library().pest("PIERRA"));
  std::optional<population::WorldFound> found;
  std::optional<population::Filter> filter;
  PestNumbers numbers;

  explicit Learning(bool passed) {
    sketch.weather(15, 25);
    sketch.bed("1");
    sketch.bed("2", 3.0);
    sketch.planting("kale", "1", "BRSOC");
    sketch.planting("beans", "2", "PHSVX");
    for (const char* when : {"2025-06-05T07:00Z", "2025-06-12T07:00Z", "2025-06-19T07:00Z"})
      sketch.count(when, "1", "PIERRA", "larva", 20, 12);
    const BriefRequest request = sketch.request();
    const weather::Site site{Angle::degrees(43.0), Angle::degrees(-88.0), {}};
    population::WorldRequest world;
    world.garden = request.garden;
    world.library = request.library;
    world.life = &life;
    world.site = site;
    world.today = day("2025-06-20");
    world.days_ahead = horizon;
    found = population::world_of(world);
    population::Setup setup;
    setup.life = &life;
    setup.world = found->world;
    const Air air = air_of(request.weather, site, world.today);
    const Date last = found->world.first + Days{found->world.days - 1};
    setup.futures = {{population::steps_of(life, air.members.front(), found->world.first, last), {}}};
    setup.prior = population::prior_of(life);
    setup.members = 256;
    filter.emplace(std::move(setup));
    filter->fold(found->sightings);
    const std::int32_t today = (world.today - found->world.first).count;
    numbers.dossier = library().pest("PIERRA");
    numbers.gate.passed = passed;
    numbers.gate.counts = 12;
    numbers.numbers = std::make_shared<const Numbers>(found->world, *filter, today, today + horizon);
    numbers.not_learned.assign(2, {population::Unknown::enemies});
  }
  PestOutlook outlook() {
    const GardenNumbers all{{"imported-cabbageworm", numbers}};
    BriefRequest request = sketch.request();
    request.numbers = &all;
    const Brief brief = make_brief(request);
    for (const auto& p : bed_of(brief, "1").pests)
      if (p.pest == "imported-cabbageworm") return p;
    ADD_FAILURE() << "no cabbageworm";
    return {};
  }
};

TEST(Numbers, SayWhatThePathsSay) {
  Learning learning(true);
  const Numbers& n = *learning.numbers.numbers;
  EXPECT_EQ(n.first(), day("2025-06-20"));
  EXPECT_EQ(n.last(), day("2025-06-30"));
  ASSERT_TRUE(n.bed("1") && n.bed("2"));
  EXPECT_FALSE(n.bed("3"));
  EXPECT_DOUBLE_EQ(n.plants(n.first(), *n.bed("1")), 20.0);
  const auto larvae = pest::stages_for(*learning.numbers.dossier, "larva").stages;
  EXPECT_FALSE(n.spread(n.first(), *n.bed("2"), larvae)) << "no host, no number";
  const auto paths =
      learning.filter->paths((n.first() - learning.found->world.first).count, (n.last() - learning.found->world.first).count);
  const auto values = n.per_plant(n.first() + Days{3}, *n.bed("1"), larvae);
  ASSERT_EQ(values.size(), paths.members());
  for (std::size_t m = 0; m < values.size(); m += 17) {
    double individuals = 0.0;
    for (const std::size_t s : larvae) individuals += static_cast<double>(paths.at(3, *n.bed("1"), s)[m]);
    EXPECT_NEAR(static_cast<double>(values[m]), individuals / 20.0, 1e-5 * individuals);
  }
  // The share past a level is that of the members past it: the median is passed by half of them.
  const auto spread = n.spread(n.first() + Days{3}, *n.bed("1"), larvae);
  EXPECT_NEAR(*n.over(n.first() + Days{3}, *n.bed("1"), larvae, 1.0, spread->p50), 0.5, 0.01);
  EXPECT_NEAR(n.spread(n.first(), *n.bed("1"), larvae, 4.0)->mean, n.spread(n.first(), *n.bed("1"), larvae)->mean / 4.0, 1e-6);
}

TEST(Numbers, ABriefRestsOnThemOnlyPastTheGate) {
  Learning learning(true);
  const PestOutlook p = learning.outlook();
  EXPECT_EQ(p.basis, Basis::population);
  ASSERT_TRUE(p.density && p.density_soon && p.p_over && p.p_over_soon && p.soon && p.threshold);
  const Numbers& n = *learning.numbers.numbers;
  const Target target = target_for(*learning.numbers.dossier, p.threshold);
  const auto today = n.spread(n.first(), *n.bed("1"), target.stages, target.there);
  EXPECT_DOUBLE_EQ(p.density->mean, today->mean);
  EXPECT_DOUBLE_EQ(p.density->p05, today->p05);
  EXPECT_DOUBLE_EQ(p.density->p95, today->p95);
  EXPECT_DOUBLE_EQ(*p.p_over, *n.over(n.first(), *n.bed("1"), target.stages, target.there, p.threshold->value.value));
  EXPECT_GE(p.density_soon->mean, p.density->mean);
  EXPECT_GE(*p.soon, n.first());
  EXPECT_TRUE(says(p.why, "outlook.population"));
  EXPECT_TRUE(says(p.why, "outlook.not_learned"));
  EXPECT_TRUE(says(p.why, "outlook.counted"));
  EXPECT_FALSE(says(p.why, "outlook.carried"));

  Learning without(false);
  const PestOutlook timing = without.outlook();
  EXPECT_EQ(timing.basis, Basis::timing);
  EXPECT_TRUE(says(timing.why, "outlook.carried"));
  EXPECT_FALSE(says(timing.why, "outlook.population"));
  Brief plain = without.sketch.brief();
  for (const auto& other : bed_of(plain, "1").pests)
    if (other.pest == timing.pest) {
      EXPECT_DOUBLE_EQ(other.density->mean, timing.density->mean) << "as without any model";
    }
}

}  // namespace
}  // namespace leafturn::decision::test_garden
