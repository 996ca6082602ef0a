#include "bench/gardens/skill.hpp"

#include <algorithm>
#include <map>

#include "app/population.hpp"
#include "bench/gardens/baselines.hpp"
#include "bench/gardens/told.hpp"
#include "core/decision/carried_count.hpp"
#include "core/population/scores.hpp"

namespace leafturn::bench {
namespace {

using population::CountMixture;
using population::NegativeBinomial;

constexpr int plants_looked_at = 20;
constexpr int hour_of_looking = 9;

struct Asked {
  population::Sighting sighting;
  int bed = 0;
  std::string word;
  int lead = 0;
  int planting = 0;
};

double crps(const NegativeBinomial& forecast, int came) {
  const auto mixture = CountMixture::of({&forecast, 1});
  return mixture->crps(came);
}

std::vector<Asked> asks_of(const gardens::Garden& garden, const app::PestRun& run, const std::string& pest, const Told& told) {
  std::vector<Asked> asks;
  const Date today = told.request.zone.civil(told.request.at).date;
  for (int bed = 0; bed < garden.beds(); ++bed) {
    if (!garden.is_host(bed, pest)) continue;
    const auto in_world = run.world.bed(told.garden.beds[static_cast<std::size_t>(bed)].bed);
    if (!in_world) continue;
    for (const std::string& word : garden.stage_words(pest)) {
      const pest::StageWord meant = pest::stages_for(*run.dossier, word);
      if (meant.stages.empty()) continue;
      const double in_one = meant.masses && run.dossier->laying.per_mass ? run.dossier->laying.per_mass->value : 1.0;
      for (const int lead : leads) {
        const CivilTime at{today + Days{lead}, hour_of_looking * 3600};
        const int plants = std::min(plants_looked_at, garden.plants_in(bed));
        asks.push_back({{*in_world, run.world.step_at(at), meant.stages, in_one, plants, 0, {}}, bed, word, lead, garden.planting_in(bed)});
      }
    }
  }
  return asks;
}

// What came, where the same crop still stands: −1 where it doesn't.
std::vector<int> what_came(const gardens::Garden& garden, const std::vector<Asked>& asks, const std::string& pest) {
  std::vector<int> came(asks.size(), -1);
  gardens::Garden later = garden;
  for (const int lead : leads) {
    if (garden.today() + lead > gardens::last_day) break;
    later.run_until(garden.today() + lead);
    for (std::size_t i = 0; i < asks.size(); ++i) {
      const Asked& ask = asks[i];
      if (ask.lead != lead || later.planting_in(ask.bed) != ask.planting || later.plants_in(ask.bed) < ask.sighting.plants) continue;
      came[i] = later.look(ask.bed, pest, ask.word, ask.sighting.plants, 0);
    }
  }
  return came;
}

void score(const gardens::Garden& garden, std::size_t number, const app::PopulationGround& ground, const std::string& pest, Told& told,
           const SkillRun& how, app::WorkerPool& workers, std::vector<Foretold>& out) {
  const pest::Dossier* dossier = ground.request.library->pest(pest);
  if (dossier == nullptr) return;
  const int counts = static_cast<int>(
      std::count_if(told.garden.counts.begin(), told.garden.counts.end(), [&](const auto& c) { return c.what.pest == pest; }));
  if (counts == 0) return;
  app::PestRun run = app::run_pest(ground, *dossier, 15, workers, how.members, false);
  const std::vector<Asked> asks = asks_of(garden, run, pest, told);
  if (asks.empty()) return;
  const std::vector<int> came = what_came(garden, asks, pest);
  std::vector<population::Sighting> sightings;
  for (const Asked& ask : asks) sightings.push_back(ask.sighting);
  const std::vector<CountMixture> expected = run.filter->expect(sightings);
  decision::CarriedCounts carried(ground.request, *dossier, ground.air);
  std::map<std::string, Baselines> baselines;
  for (std::size_t i = 0; i < asks.size(); ++i) {
    if (came[i] < 0) continue;
    const Asked& ask = asks[i];
    const std::string& bed = told.garden.beds[static_cast<std::size_t>(ask.bed)].bed;
    const int plants = ask.sighting.plants;
    const auto known = baselines.try_emplace(ask.word, past_counts(told.request, pest, ask.word)).first;
    const Baselines& base = known->second;
    const NegativeBinomial season = base.season_mean(bed, plants);
    const Date day = told.request.zone.civil(told.request.at).date + Days{ask.lead};
    const NegativeBinomial walk = base.random_walk(bed, day.day_of_year() + hour_of_looking / 24.0, plants).value_or(season);
    const Instant at = told.request.zone.instant({day, hour_of_looking * 3600});
    NegativeBinomial phenology =
        carried.expect(bed, at, told.request.at, ask.sighting.stages, ask.sighting.in_one, plants).value_or(season);
    phenology.mean = std::max(phenology.mean, 0.01);
    const auto fell = expected[i].pit_interval(came[i]);
    out.push_back({number, garden.spec().kind, dossier->id, ask.word, ask.lead, counts, expected[i].mean(), came[i], fell.below, fell.up_to,
                   expected[i].crps(came[i]), crps(season, came[i]), crps(walk, came[i]), crps(phenology, came[i])});
  }
}

}  // namespace

std::vector<Foretold> foretell(gardens::Spec spec, std::size_t number, const pest::Library& library, const SkillRun& how) {
  std::vector<Foretold> out;
  app::WorkerPool alone{1};
  gardens::Garden garden = gardens::make(spec);
  int first_count = -1;
  int next_issue = gardens::last_day;
  while (!garden.over() && garden.today() + leads[0] <= gardens::last_day) {
    if (first_count < 0 && !garden.history(garden.today()).counts.empty()) {
      first_count = garden.today();
      next_issue = first_count + how.first_issue;
    }
    if (first_count >= 0 && garden.today() >= next_issue) {
      const auto known = told(garden.history(garden.today()), library);
      const app::PopulationGround ground = app::population_ground(known->request);
      for (const std::string& pest : garden.pests()) score(garden, number, ground, pest, *known, how, alone, out);
      next_issue += how.between;
    }
    garden.advance_day(gardens::People::record);
  }
  return out;
}

}  // namespace leafturn::bench
