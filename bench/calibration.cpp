/// Simulation-based calibration of the population filter: a truth drawn from the filter's own prior and marched by the model itself, counts
/// taken from it by the model's own observation, then where the truth ranks among what the filter believes (docs/calibration.md). Talts,
/// Betancourt, Simpson, Vehtari & Gelman 2018 (arXiv 1804.06788), from memory.

#include <array>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "bench/support/beds_season.hpp"
#include "bench/support/bench.hpp"
#include "bench/support/ranks.hpp"
#include "core/base/random.hpp"
#include "core/population/cloud.hpp"
#include "core/population/filter.hpp"
#include "io/dossier_toml.hpp"

namespace {

using namespace leafturn;
using namespace leafturn::population;

constexpr std::size_t beds = 3;  // the third is never counted
constexpr std::size_t counted = 2;
constexpr std::int32_t every = 3;  // days between visits
constexpr std::int32_t visits = 14;
constexpr std::int32_t ahead = 7;
constexpr int looked_at = 20;
constexpr float plants = 40.0F;
constexpr std::size_t posterior_draws = 99;
constexpr std::size_t bins = 20;
const Date first = *Date::from_ymd(2025, 5, 20);
constexpr std::array<const char*, unknown_count> names{"start",   "arrival",  "reproduction", "mortality",
                                                       "enemies", "movement", "efficacy",     "clumping"};

struct Case {
  const Life* life = nullptr;
  std::vector<std::size_t> eggs, larvae;
  Setup setup;
};

weather::HourlySeries invent_air() {
  weather::HourlySeries out{first, {}};
  for (std::int32_t day = 0; day < visits * every + ahead + 3; ++day) {
    weather::HourlyDay hours;
    for (std::size_t hour = 0; hour < 24; ++hour)
      hours[hour] = Temperature::celsius(19.0 + 3.0 * std::sin(0.3 * day) + 6.0 * std::sin((static_cast<double>(hour) - 9.0) * 0.2618));
    out.days.emplace_back(hours);
  }
  return out;
}

std::vector<std::size_t> stages_in(const Life& life, pest::StageGroup group) {
  std::vector<std::size_t> out;
  for (std::size_t s = 0; s < life.stages.size(); ++s)
    if (life.stages[s].group == group) out.push_back(s);
  return out;
}

Case case_of(const Life& life, const pest::Library& library, std::size_t members) {
  Case out;
  out.life = &life;
  out.eggs = stages_in(life, pest::StageGroup::egg);
  out.larvae = stages_in(life, pest::StageGroup::larva);
  Setup& setup = out.setup;
  setup.life = &life;
  setup.prior = prior_of(life);
  setup.members = members;
  setup.checkpoints = 0;
  World& world = setup.world;
  world.first = first;
  world.days = visits * every + ahead + 2;
  for (std::size_t b = 0; b < beds; ++b) world.beds.push_back({"bed " + std::to_string(b + 1), 3.0 * static_cast<double>(b), 0.0, 10.0});
  const auto days = static_cast<std::size_t>(world.days);
  world.bed_days.assign(days * beds, {plants, 1.0F});
  world.resting.assign(days, 0.0F);
  setup.futures.push_back({steps_of(life, invent_air(), first, first + Days{world.days - 1}), {}});
  // Caterpillars picked by hand in the first bed halfway, the second covered later on.
  if (auto pick = deed_for(life, library, Deed::Kind::kill, "hand-pick", false)) {
    pick->bed = 0;
    pick->at = 22 * steps_a_day + 5;
    world.deeds.push_back(*pick);
  }
  if (auto cover = deed_for(life, library, Deed::Kind::cover, "cover", false)) {
    cover->bed = 1;
    cover->at = 28 * steps_a_day;
    world.deeds.push_back(*cover);
  }
  return out;
}

StepNumber at_visit(std::int32_t visit) { return (visit + 1) * every * steps_a_day + steps_a_day / 2; }

/// One member that is the truth, in the first lane of a block of its own.
class Truth {
 public:
  Truth(const Case& of, std::uint64_t seed) : case_{of}, chance_{seed, 0}, course_{*of.life, of.setup.world, of.setup.futures, {}} {
    members_ = draw_members(*of.life, of.setup.world, of.setup.prior, lanes, chance_);
    begin(course_, members_, 0);
  }
  void march_to(StepNumber to) {
    march(course_, chance_, members_, 0, now_, to, widest_lanes());
    now_ = to;
  }
  /// A count now, by the model's own observation.
  Sighting count(std::size_t bed, const std::vector<std::size_t>& stages) {
    Sighting s{bed, now_, stages, 1.0, looked_at, 0, {}};
    const Looking look{course_, s};
    Expected expected;
    expected.mean.resize(lanes);
    look.ask(members_, 0, expected);
    std::vector<double> only(lanes, 0.0);
    only[0] = 1.0;
    look.spread(members_, only, expected);
    num::Draws draws({.seed = chance_.seed,
                      .day = now_,
                      .bed = static_cast<std::uint16_t>(bed),
                      .stage = static_cast<std::uint16_t>(stages.front()),
                      .use = num::Use::bench});
    s.count = static_cast<int>(std::min<std::int64_t>(
        1'000'000, draws.negative_binomial(static_cast<double>(expected.mean[0]), static_cast<double>(expected.k[0]))));
    return s;
  }
  /// From now on its adults are followed to other beds, as the filter does.
  void looked_at_bed(std::size_t bed) { members_.counted[bed] = 1; }
  double total(std::size_t bed, const std::vector<std::size_t>& stages) const {
    double sum = 0.0;
    for (const std::size_t s : stages) {
      const LifeStage& stage = case_.life->stages[s];
      for (std::size_t i = stage.first; i < stage.first + stage.count; ++i)
        sum += static_cast<double>(members_.state.bed(0, bed)[i * lanes]);
    }
    return sum;
  }
  double z(std::size_t bed, std::size_t unknown) const { return static_cast<double>(members_.z[members_.index(0, bed)][unknown][0]); }

 private:
  const Case& case_;
  Chance chance_;
  Course course_;
  Members members_;
  StepNumber now_ = 0;
};

constexpr std::size_t per_bed = unknown_count + 2;               // unknowns, larvae now, larvae in a week
constexpr std::size_t all_asked = beds * per_bed + 1 + counted;  // and larvae in all beds, a count in a week of either bed
std::string name_of(std::size_t asked) {
  if (asked == beds * per_bed) return "larvae_now_all_beds";
  if (asked > beds * per_bed) return "count_in_7_days_bed_" + std::to_string(asked - beds * per_bed);
  const std::size_t what = asked % per_bed;
  const std::string bed = "_bed_" + std::to_string(asked / per_bed + 1);
  if (what < unknown_count) return names[what] + bed;
  return (what == unknown_count ? "larvae_now" : "larvae_in_7_days") + bed;
}

using Ranks = std::array<std::size_t, all_asked>;

/// Numbers of members picked evenly: they are equally likely here, and neighbours are copies of each other.
std::vector<double> every_so_many(const std::vector<double>& all) {
  std::vector<double> out;
  for (std::size_t i = 0; i < posterior_draws; ++i) out.push_back(all[(2 * i + 1) * all.size() / (2 * posterior_draws)]);
  return out;
}

Ranks rank_one(const Case& of, std::uint64_t seed) {
  Ranks ranks{};
  num::Draws chance({.seed = seed, .use = num::Use::bench});
  Truth truth{of, 2 * seed + 1};
  std::vector<Sighting> counts;
  for (std::int32_t v = 0; v < visits; ++v) {
    truth.march_to(at_visit(v));
    for (std::size_t bed = 0; bed < counted; ++bed) {
      counts.push_back(truth.count(bed, of.eggs));
      counts.push_back(truth.count(bed, of.larvae));
      truth.looked_at_bed(bed);
    }
  }
  Setup setup = of.setup;
  setup.seed = 2 * seed + 2;
  Filter filter{std::move(setup)};
  filter.fold(counts);
  for (std::size_t bed = 0; bed < beds; ++bed)
    for (std::size_t u = 0; u < unknown_count; ++u)
      ranks[bed * per_bed + u] =
          bench::rank_among(truth.z(bed, u), filter.draws(bed, static_cast<Unknown>(u), posterior_draws), chance.uniform());
  const StepNumber now = filter.now();
  std::vector<Sighting> asks;
  for (std::size_t bed = 0; bed < counted; ++bed) asks.push_back({bed, now + ahead * steps_a_day, of.larvae, 1.0, looked_at, 0, {}});
  const std::vector<CountMixture> expected = filter.expect(asks);
  const std::int32_t today = now / steps_a_day;
  const Paths paths = filter.paths(today, today + ahead);
  std::vector<double> everywhere(paths.members(), 0.0);
  const auto larvae = [&](std::size_t day, std::size_t bed) {
    std::vector<double> out(paths.members(), 0.0);
    for (const std::size_t s : of.larvae)
      for (std::size_t i = 0; i < out.size(); ++i) out[i] += static_cast<double>(paths.at(day, bed, s)[i]);
    return out;
  };
  double true_everywhere = 0.0;
  for (std::size_t bed = 0; bed < beds; ++bed) {
    const std::vector<double> here = larvae(0, bed);
    const double was = truth.total(bed, of.larvae);
    for (std::size_t i = 0; i < here.size(); ++i) everywhere[i] += here[i];
    true_everywhere += was;
    ranks[bed * per_bed + unknown_count] = bench::rank_among(was, every_so_many(here), chance.uniform());
  }
  ranks[beds * per_bed] = bench::rank_among(true_everywhere, every_so_many(everywhere), chance.uniform());
  truth.march_to(now + ahead * steps_a_day);
  for (std::size_t bed = 0; bed < beds; ++bed)
    ranks[bed * per_bed + unknown_count + 1] =
        bench::rank_among(truth.total(bed, of.larvae), every_so_many(larvae(ahead, bed)), chance.uniform());
  for (std::size_t bed = 0; bed < counted; ++bed) {
    const double pit = randomised_pit(expected[bed].pit_interval(truth.count(bed, of.larvae).count), chance.uniform());
    ranks[beds * per_bed + 1 + bed] = std::min(posterior_draws, static_cast<std::size_t>(pit * static_cast<double>(posterior_draws + 1)));
  }
  return ranks;
}

std::vector<bench::RankHistogram> calibrate(const Case& of, std::size_t draws, std::uint64_t seed) {
  std::vector<Ranks> ranks(draws);
  bench::two_threads()(draws, [&](std::size_t i) { ranks[i] = rank_one(of, seed * 1'000'003 + i); });
  std::vector<bench::RankHistogram> out(all_asked, bench::RankHistogram(posterior_draws, bins));
  for (const Ranks& one : ranks)
    for (std::size_t q = 0; q < all_asked; ++q) out[q].add(one[q]);
  return out;
}

void tell(bench::Results& results, const std::string& run, const std::vector<bench::RankHistogram>& histograms) {
  std::size_t failed = 0;
  for (std::size_t q = 0; q < all_asked; ++q) {
    const bench::RankHistogram& h = histograms[q];
    const std::string name = run + "_" + name_of(q);
    results.raw(name, std::vector<double>(h.counts().begin(), h.counts().end()));
    results.figure(name + "_p", {h.p_value(), 0.0});
    results.figure(name + "_bias_z", {h.bias_z(), 1.0});
    results.figure(name + "_spread_z", {h.spread_z(), 1.0});
    if (h.p_value() < 0.05) ++failed;
    std::fprintf(stderr, "%-44s p %.4f  bias %+6.2f  spread %+6.2f\n", name.c_str(), h.p_value(), h.bias_z(), h.spread_z());
  }
  results.figure(run + "_below_0_05", {static_cast<double>(failed), 0.0});
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "calibration");
  const auto library = io::built_in_library();
  if (!library) return 3;
  const Life life = life_of(*library->pest("imported-cabbageworm"));
  const std::size_t draws = options.quick ? 100 : 500;
  const std::size_t members = options.quick ? 1024 : 2048;
  Case of = case_of(life, *library, members);
  bench::Results results{options};
  of.setup.unforeseen = 0.0;
  tell(results, "model", calibrate(of, draws, options.seed));
  of.setup.unforeseen = Setup{}.unforeseen;
  tell(results, "shipped", calibrate(of, draws * 2 / 5, options.seed));
  results.note("model", "no newcomers: the model that made the truths is the model of the filter");
  results.note("shipped", "newcomers as shipped (2 % of visits meet something unforeseen): a belief that the truths here do not share");
  results.note("count_in_7_days", "from Filter::expect, put right by what was seen so far (PutRight), which the truths do not need");
  results.figure("draws", {static_cast<double>(draws), 0.0});
  results.figure("draws_shipped", {static_cast<double>(draws * 2 / 5), 0.0});
  results.figure("members", {static_cast<double>(members), 0.0});
  results.figure("asked", {static_cast<double>(all_asked), 0.0});
  return results.finish();
}
