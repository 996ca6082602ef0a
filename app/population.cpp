#include "app/population.hpp"

#include <algorithm>
#include <utility>

#include "app/materials.hpp"
#include "core/decision/carried_count.hpp"
#include "core/decision/day_calendars.hpp"
#include "core/population/count_mixture.hpp"
#include "core/population/steps.hpp"

namespace leafturn::app {
namespace {

using population::Future;
using population::NegativeBinomial;
using population::Sighting;

using CountsById = std::map<Id, const garden::Dated<garden::CountTaken>*>;

CountsById counts_by_id(const garden::Garden& garden) {
  CountsById all;
  for (const auto& count : garden.counts) all.emplace(count.id, &count);
  return all;
}

// What the counts before would have said of each. Counts of one bed in one step of the model are one walk: none speaks of another.
std::vector<std::optional<NegativeBinomial>> carried_before(const PopulationGround& ground, const PestRun& run) {
  const CountsById counts = counts_by_id(*ground.request.garden);
  std::map<std::pair<std::size_t, population::StepNumber>, Instant> walk_began;
  for (const Sighting& s : run.sightings) {
    const Instant at = counts.at(s.id)->at;
    const auto [walk, fresh] = walk_began.try_emplace({s.bed, s.at}, at);
    if (!fresh) walk->second = std::min(walk->second, at);
  }
  decision::CarriedCounts carried(ground.request, *run.dossier, ground.air);
  std::vector<std::optional<NegativeBinomial>> out;
  out.reserve(run.sightings.size());
  for (const Sighting& s : run.sightings)
    out.push_back(
        carried.expect(run.world.beds[s.bed].name, counts.at(s.id)->at, walk_began.at({s.bed, s.at}), s.stages, s.in_one, s.plants));
  return out;
}

bool enough_to_compare(const std::vector<std::optional<NegativeBinomial>>& carried) {
  return std::count_if(carried.begin(), carried.end(), [](const auto& c) { return c.has_value(); }) >= decision::least_counts;
}

// Rain of each day of the world in one future; what nobody measured washes nothing off.
std::vector<float> rain_of(const PopulationGround& ground, const population::World& world, std::size_t future) {
  const decision::WeatherKnown& known = ground.request.weather;
  std::vector<float> rain(static_cast<std::size_t>(world.days), 0.0F);
  for (std::int32_t day = 0; day < world.days; ++day) {
    const Date date = world.first + Days{day};
    const weather::Day* there = known.recorded.find(date);
    if (there == nullptr && future < known.members.size()) there = known.members[future].find(date);
    if (there != nullptr && there->rain) rain[static_cast<std::size_t>(day)] = static_cast<float>(there->rain->metres() * 1000.0);
  }
  return rain;
}

void run_filter(const PopulationGround& ground, PestRun& run, WorkerPool& workers, std::size_t members) {
  population::Setup setup;
  setup.life = run.life.get();
  setup.world = run.world;
  setup.futures.resize(ground.air.members.size());
  const Date last = run.world.first + Days{run.world.days - 1};
  workers.run(setup.futures.size(), [&](std::size_t future) {
    setup.futures[future] =
        Future{population::steps_of(*run.life, ground.air.members[future], run.world.first, last), rain_of(ground, run.world, future)};
  });
  setup.prior = population::prior_of(*run.life);
  setup.members = members;
  setup.pest = static_cast<std::uint16_t>(run.dossier - ground.request.library->pests.data());
  setup.checkpoints = 0;  // nothing comes late: all counts are here
  setup.workers = [&workers](std::size_t count, const std::function<void(std::size_t)>& task) { workers.run(count, task); };
  run.filter.emplace(std::move(setup));
  run.filter->fold(run.sightings);
}

// Both scores of each count, in the order in which they were folded.
decision::Gate gate_of(const PestRun& run, const std::vector<std::optional<NegativeBinomial>>& carried) {
  std::map<Id, std::optional<double>> by_id;
  for (std::size_t i = 0; i < run.sightings.size(); ++i) {
    std::optional<double> crps;
    if (carried[i])
      if (const auto forecast = population::CountMixture::of({&*carried[i], 1})) crps = forecast->crps(run.sightings[i].count);
    by_id.emplace(run.sightings[i].id, crps);
  }
  std::vector<decision::Compared> compared;
  for (const population::Scored& scored : run.filter->scored())
    compared.push_back({scored.sighting, scored.crps, by_id.at(scored.sighting.id)});
  return decision::gate(std::move(compared), Term{"pest." + run.dossier->id + ".name"});
}

// Without the gate passed nothing but the gate is kept.
decision::PestNumbers numbers_of(const PopulationGround& ground, const PestRun& run, decision::Gate gate) {
  decision::PestNumbers numbers;
  numbers.dossier = run.dossier;
  numbers.gate = std::move(gate);
  if (!numbers.gate.passed) return numbers;
  const std::int32_t today = (ground.today - run.world.first).count;
  numbers.numbers = std::make_shared<const decision::Numbers>(run.world, *run.filter, today, today + decision::horizon);
  for (std::size_t bed = 0; bed < run.world.beds.size(); ++bed) {
    auto& here = numbers.not_learned.emplace_back();
    for (std::size_t u = 0; u < population::unknown_count; ++u)
      if (const auto unknown = static_cast<population::Unknown>(u); !run.filter->learned(bed, unknown).learned) here.push_back(unknown);
  }
  return numbers;
}

}  // namespace

PopulationGround population_ground(const decision::BriefRequest& request) {
  PopulationGround ground;
  ground.request = request;
  ground.request.numbers = nullptr;
  ground.today = request.zone.civil(request.at).date;
  if (const auto& described = request.garden->described) {
    ground.site = {described->latitude, described->longitude, described->elevation};
    ground.standard_offset = standard_offset(*request.garden);
    ground.air = decision::air_in(request, ground.site, ground.today);
  }
  for (const auto& spray : request.garden->applications) {
    const auto card = spray.what.card ? request.cards.find(*spray.what.card) : request.cards.end();
    if (card == request.cards.end()) continue;
    for (const label::Active& active : card->second.actives) ground.actives[spray.id].push_back(active.name);
  }
  return ground;
}

std::size_t members_for(std::size_t beds) {
  constexpr std::size_t usual_beds = 30;
  constexpr std::size_t least_members = 256;
  if (beds <= usual_beds) return usual_members;
  return std::max(least_members, usual_members * usual_beds / beds / population::lanes * population::lanes);
}

PestRun prepare_pest(const PopulationGround& ground, const pest::Dossier& dossier, int days_ahead) {
  PestRun run;
  run.dossier = &dossier;
  run.life = std::make_unique<const population::Life>(population::life_of(dossier));
  population::WorldRequest request;
  request.garden = ground.request.garden;
  request.library = ground.request.library;
  request.life = run.life.get();
  request.actives = ground.actives;
  request.site = ground.site;
  request.standard_offset = ground.standard_offset;
  request.today = ground.today;
  request.days_ahead = days_ahead;
  population::WorldFound found = population::world_of(request);
  run.world = std::move(found.world);
  run.sightings = std::move(found.sightings);
  run.left_out = std::move(found.left_out);
  run.counts.assign(run.world.beds.size(), 0);
  for (const Sighting& s : run.sightings) ++run.counts[s.bed];
  return run;
}

void run_prepared(const PopulationGround& ground, PestRun& run, WorkerPool& workers, std::size_t members, bool gated) {
  run_filter(ground, run, workers, members);
  if (!gated) return;
  using Carried = std::vector<std::optional<NegativeBinomial>>;
  run.gate = gate_of(run, run.sightings.empty() ? Carried{} : carried_before(ground, run));
}

PestRun run_pest(const PopulationGround& ground, const pest::Dossier& dossier, int days_ahead, WorkerPool& workers, std::size_t members,
                 bool gated) {
  PestRun run = prepare_pest(ground, dossier, days_ahead);
  run_prepared(ground, run, workers, members, gated);
  return run;
}

decision::GardenNumbers numbers_for_brief(const decision::BriefRequest& request) {
  decision::GardenNumbers all;
  std::map<std::string_view, std::ptrdiff_t> counted;
  for (const auto& count : request.garden->counts) ++counted[count.what.pest];
  const auto counts_of = [&](std::string_view name) {
    const auto found = counted.find(name);
    return found == counted.end() ? 0 : found->second;
  };
  std::vector<const pest::Dossier*> often;
  for (const pest::Dossier& dossier : request.library->pests)
    if (counts_of(dossier.id) + (dossier.eppo.empty() ? 0 : counts_of(dossier.eppo)) >= decision::least_counts) often.push_back(&dossier);
  if (often.empty()) return all;
  const PopulationGround ground = population_ground(request);
  if (ground.air.members.empty()) return all;
  WorkerPool workers;
  for (const pest::Dossier* dossier : often) {
    PestRun run = prepare_pest(ground, *dossier, decision::horizon);
    const auto carried = carried_before(ground, run);
    if (!enough_to_compare(carried)) continue;
    run_filter(ground, run, workers, members_for(run.world.beds.size()));
    all.emplace(dossier->id, numbers_of(ground, run, gate_of(run, carried)));
  }
  return all;
}

}  // namespace leafturn::app
