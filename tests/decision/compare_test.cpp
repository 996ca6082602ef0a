// The options beside doing nothing, on an ensemble simple enough to be reckoned by hand.

#include "core/decision/compare.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "core/base/random.hpp"
#include "core/decision/outlook.hpp"
#include "io/dossier_toml.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::decision {
namespace {

using population::Deed;
using population::Paths;

constexpr std::size_t members = 512;
constexpr std::size_t days = 15;

const pest::Dossier& cabbageworm() {
  static const pest::Library all = io::built_in_library().value();
  return *all.pest("imported-cabbageworm");
}

/// Larvae that stand still but for deeds; each member has its own number of them and its own place between a deed's low and high.
struct Toy {
  population::World world;
  std::vector<std::size_t> larvae;
  double mean = 1.0;

  explicit Toy(double mean_per_plant) : larvae{pest::stages_for(cabbageworm(), "larva").stages}, mean{mean_per_plant} {
    world.first = Date::parse("2026-06-01").value();
    world.days = 40;
    world.beds = {{"1", 0, 0, 10}, {"2", 3, 0, 10}};
    world.bed_days.assign(80, {20.0F, 1.0F});
  }
  Date today() const { return world.first + Days{10}; }

  Paths run(std::span<const Deed> deeds) const {
    Paths paths{10, days, 2, cabbageworm().stages.size(), members};
    for (std::size_t m = 0; m < members; ++m) {
      num::Draws draws({.seed = 3, .member = static_cast<std::uint32_t>(m)});
      const double start = 20.0 * mean * draws.gamma(2.0) / 2.0;
      const double place = draws.uniform();
      for (std::size_t d = 0; d < days; ++d) {
        double left = start;
        for (const Deed& deed : deeds)
          if (deed.bed == 0 && static_cast<std::size_t>(deed.at / population::steps_a_day) <= d + 10)
            left *=
                1.0 - (static_cast<double>(deed.low[larvae[2]]) + static_cast<double>(deed.high[larvae[2]] - deed.low[larvae[2]]) * place);
        paths.at(d, 0, larvae[2])[m] = static_cast<float>(left);
      }
    }
    return paths;
  }

  Act act(const char* means, int order, double low, double high, int minutes, int day = 0) const {
    Act a;
    a.means = means;
    a.order = order;
    a.on = today() + Days{day};
    a.low = low;
    a.high = high;
    a.minutes = minutes;
    if (order < 0) return a;
    Deed deed;
    deed.at = (10 + day) * population::steps_a_day;
    deed.low.assign(cabbageworm().stages.size(), static_cast<float>(low));
    deed.high.assign(cabbageworm().stages.size(), static_cast<float>(high));
    a.deeds = {deed};
    return a;
  }
  Act nothing() const { return act("nothing", -1, 0, 0, 0); }

  CompareRequest request(std::span<const Act> acts, LossBasis basis) const {
    CompareRequest r;
    r.dossier = &cabbageworm();
    r.world = &world;
    r.basis = std::move(basis);
    r.paths = [this](std::span<const Deed> deeds) { return run(deeds); };
    r.acts = acts;
    return r;
  }
};

LossBasis in_money(double per_day) {
  return loss_basis(cabbageworm(), "BRSOA", 20, {Mass::grams(1000), Money::of(10), Outlet::sale},
                    LossCurve{{per_day, 1.0}, Outlet::sale, {"invented for the test", pest::Known::practice, ""}});
}
LossBasis by_threshold(const pest::Threshold& threshold) {
  LossBasis basis;
  basis.unit = LossUnit::threshold;
  basis.plants = 20;
  basis.threshold = &threshold;
  basis.why = {"loss.no_curve", {}};
  return basis;
}
const pest::Threshold half{{}, "larva", pest::Threshold::Measure::per_plant, {0.5, {"invented", pest::Known::practice, ""}}, ""};

TEST(Compare, DoingNothingIsTheMeasureOfTheOthers) {
  const Toy toy{1.0};
  const std::vector<Act> acts{toy.nothing(), toy.act("hand-pick", 1, 0.5, 0.5, 20)};
  const Comparison c = compare(toy.request(acts, in_money(0.001)));
  ASSERT_EQ(c.unit, LossUnit::money);
  ASSERT_EQ(c.options.size(), 2U);
  const Ranked& picked = c.options[0];
  const Ranked& nothing = c.options[1];
  EXPECT_EQ(picked.act->means, "hand-pick");
  EXPECT_NEAR(nothing.saved.mean, 0.0, 1e-12);
  // 15 days of half as many, on a curve that is nearly straight: about half the loss.
  EXPECT_NEAR(picked.saved.mean / nothing.loss.mean, 0.5, 0.01);
  EXPECT_LT(picked.saved.p05, picked.saved.mean);
  EXPECT_GT(picked.saved.p95, picked.saved.mean);
}

TEST(Compare, CommonLuckMakesDifferencesSharperThanLosses) {
  const Toy toy{1.0};
  const std::vector<Act> acts{toy.nothing(), toy.act("hand-pick", 1, 0.1, 0.1, 20)};
  const Comparison c = compare(toy.request(acts, in_money(0.001)));
  for (const Ranked& o : c.options)
    if (o.act->means == "hand-pick") {
      EXPECT_GT(o.saved.p05, 0.0);  // always better, though a tenth is less than the losses' spread
      EXPECT_LT(o.saved.error, 0.2 * o.loss.error);
    }
}

TEST(Compare, GentlerWinsATieAndOnlyATie) {
  const Toy toy{2.0};
  // Hand work 50 to 90 %: what is not known of it covers the spray's 80 %.
  const std::vector<Act> wide{toy.nothing(), toy.act("hand-pick", 1, 0.5, 0.9, 30), toy.act("Spray", 3, 0.8, 0.8, 30)};
  const Comparison tie = compare(toy.request(wide, in_money(0.001)));
  EXPECT_EQ(tie.options[0].act->means, "hand-pick");
  EXPECT_EQ(tie.options[1].act->means, "Spray");
  EXPECT_LT(tie.options[1].total.mean, tie.options[0].total.mean);
  const auto says = [](const Comparison& c, const char* code) {
    return std::any_of(c.why.begin(), c.why.end(), [&](const Reason& why) { return why.code == code; });
  };
  EXPECT_TRUE(says(tie, "compare.gentler"));
  // Hand work that is known to take only 30 % loses to it.
  const std::vector<Act> weak{toy.nothing(), toy.act("hand-pick", 1, 0.3, 0.3, 30), toy.act("Spray", 3, 0.8, 0.8, 30)};
  const Comparison clear = compare(toy.request(weak, in_money(0.001)));
  EXPECT_EQ(clear.options[0].act->means, "Spray");
  EXPECT_FALSE(says(clear, "compare.gentler"));
}

TEST(Compare, OfTheTiedWhatWasJustTriedComesLast) {
  const Toy toy{2.0};
  std::vector<Act> acts{toy.nothing(), toy.act("hand-pick", 1, 0.5, 0.9, 30), toy.act("Spray", 3, 0.8, 0.8, 30)};
  acts[1].tried = true;
  const Comparison c = compare(toy.request(acts, in_money(0.001)));
  EXPECT_EQ(c.options[0].act->means, "Spray");
  EXPECT_EQ(c.options[1].act->means, "hand-pick");
  EXPECT_TRUE(std::any_of(c.why.begin(), c.why.end(), [](const Reason& why) { return why.code == "compare.tried"; }));
  acts[2].low = acts[2].high = 0.0;  // known to do nothing: no tie, so what was tried stays first
  acts[2].deeds = toy.act("Spray", 3, 0.0, 0.0, 30).deeds;
  EXPECT_EQ(compare(toy.request(acts, in_money(0.001))).options[0].act->means, "hand-pick");
}

TEST(Compare, CostAndHoursCountWhereThereIsMoney) {
  const Toy toy{0.2};
  const std::vector<Act> acts{toy.nothing(), toy.act("hand-pick", 1, 0.7, 0.7, 60)};
  CompareRequest r = toy.request(acts, in_money(0.01));
  EXPECT_EQ(compare(r).options[0].act->means, "hand-pick");
  r.hour = Money::of(15);  // dearer than a bed's whole loss of some 6
  const Comparison dear = compare(r);
  EXPECT_EQ(dear.options[0].act->means, "nothing");
  EXPECT_NEAR(dear.options[1].total.mean - dear.options[1].loss.mean, 15.0, 1e-9);
}

TEST(Compare, WithoutMoneyAnUnlikelyThresholdIsLeftAlone) {
  const std::vector<Act> few_acts{Toy{0.1}.nothing(), Toy{0.1}.act("hand-pick", 1, 0.7, 0.7, 20)};
  const Toy few{0.1};
  const Comparison calm = compare(few.request(few_acts, by_threshold(half)));
  EXPECT_EQ(calm.options[0].act->means, "nothing");
  EXPECT_LT(calm.options[0].p_over, 0.5);
  const Toy many{1.5};
  const std::vector<Act> acts{many.nothing(), many.act("hand-pick", 1, 0.7, 0.7, 20)};
  const Comparison pressing = compare(many.request(acts, by_threshold(half)));
  EXPECT_EQ(pressing.options[0].act->means, "hand-pick");
  const Ranked& nothing = pressing.options[1];
  // Half a larva found is 0.5/seen there: P(gamma with mean 1.5, shape 2 > 0.5/seen) = (1 + x) e^(−x), x = 0.5/seen/0.75.
  const Target counted = target_for(cabbageworm(), &half);
  const double x = 0.5 * counted.there / counted.in_one / 0.75;
  test::check_row({"compare.p_over", "gamma-spread density, mean 1.5, shape 2: chance that above 0.5 are found",
                   "closed form of the Erlang tail", "derived", test::From::independent, (1.0 + x) * std::exp(-x), 0.05, ""},
                  nothing.p_over);
  EXPECT_LT(pressing.options[0].days_over, nothing.days_over);
}

TEST(Compare, WhereNothingIsPublishedNothingIsAdvised) {
  const Toy toy{5.0};
  LossBasis basis;
  basis.plants = 20;
  basis.why = {"loss.no_threshold", {}};
  const std::vector<Act> acts{toy.nothing(), toy.act("hand-pick", 1, 0.7, 0.7, 20)};
  const Comparison c = compare(toy.request(acts, basis));
  EXPECT_EQ(c.options[0].act->means, "nothing");
  EXPECT_EQ(c.why.back().code, "compare.no_measure");
}

TEST(Compare, TodayBeatsTheDayAfterTomorrowWhenTheyFeedMeanwhile) {
  const Toy toy{2.0};
  const std::vector<Act> acts{toy.nothing(), toy.act("Spray", 3, 0.8, 0.8, 30, 2), toy.act("Spray", 3, 0.8, 0.8, 30, 0)};
  const Comparison c = compare(toy.request(acts, in_money(0.001)));
  EXPECT_EQ(c.options[0].act->on, toy.today());
}

TEST(Compare, PullingWhatIsStillToBePickedGivesItUp) {
  const Toy toy{0.2};
  std::vector<Act> acts{toy.nothing(), toy.act("pull", 1, 1.0, 1.0, 10)};
  acts[1].forgoes = true;
  const Comparison c = compare(toy.request(acts, in_money(0.001)));
  EXPECT_EQ(c.options[0].act->means, "nothing");
  EXPECT_NEAR(c.options[1].loss.mean, 20 * 1.0 * 10, 1e-9);
}

TEST(Compare, StagesAreThereWhenThereIsAChanceOfOne) {
  const Toy toy{1.0};
  const Paths paths = toy.run({});
  const auto present = stages_present(paths, 0, {}, 3);
  EXPECT_EQ(present, std::vector<std::size_t>{toy.larvae[2]});
  EXPECT_TRUE(stages_present(paths, 1, {}, 3).empty());
}

TEST(Compare, ABedWithoutPlantsHasNoCrowd) {
  Toy toy{1.0};
  toy.world.bed_days[2 * 12].plants = 0.0F;  // bed 1 on the third day asked about
  const Crowd crowd = crowd_of(toy.run({}), toy.world, 0, toy.larvae);
  EXPECT_GT(crowd.at(1, 5), 0.0F);
  EXPECT_EQ(crowd.at(2, 5), 0.0F);
}

}  // namespace
}  // namespace leafturn::decision
