#include "app/compare.hpp"

#include <algorithm>

#include "app/moment.hpp"
#include "app/weather_known.hpp"
#include "core/decision/context.hpp"
#include "io/garden_rows.hpp"

namespace leafturn::app {
namespace {

using decision::BedContext;

// What was counted longer ago than a season lasts says nothing of this one.
bool counted_here(const BedGround& ground, const pest::Dossier& dossier) {
  const auto& counts = ground.garden.counts;
  return std::any_of(counts.begin(), counts.end(), [&](const auto& count) {
    return count.what.bed == ground.bed.bed &&
           (count.what.pest == dossier.id || (!dossier.eppo.empty() && count.what.pest == dossier.eppo)) &&
           (ground.population.today - ground.request.zone.civil(count.at).date).count <= population::longest_season;
  });
}

Status find_bed(const garden::Garden& garden, const std::string& bed) {
  if (garden.bed(bed) != nullptr) return {};
  std::vector<std::string> names;
  for (const garden::BedLaid& laid : garden.beds) names.push_back(laid.bed);
  return fail("garden.no_such_bed", {{}, 0, "--bed"}, {{"bed", bed}, {"nearest", io::nearest_words(bed, std::move(names), 3)}});
}

Status find_pests(const pest::Library& library, const BedQuestion& question, BedGround& ground) {
  if (question.pest) {
    const pest::Dossier* dossier = library.pest(*question.pest);
    if (dossier == nullptr) {
      std::string known;
      for (const pest::Dossier& p : library.pests) known += (known.empty() ? "" : ", ") + p.id;
      return fail("app.no_such_pest", {{}, 0, "--pest"}, {{"given", *question.pest}, {"known", known}}, ErrorKind::not_found);
    }
    if (decision::best_host(ground.bed, *dossier) == nullptr)
      return fail("compare.no_host", {{}, 0, "--pest"}, {{"pest", decision::pest_term(*dossier)}, {"bed", ground.bed.bed}});
    ground.pests.push_back(dossier);
    return {};
  }
  for (const pest::Dossier& dossier : library.pests)
    if (decision::best_host(ground.bed, dossier) != nullptr && counted_here(ground, dossier)) ground.pests.push_back(&dossier);
  return {};
}

double found_per_plant(const population::Paths& paths, const population::World& world, std::size_t bed, const population::Life& life) {
  double sum = 0.0;
  for (std::size_t s = 0; s < life.stages.size(); ++s) {
    if (!(life.stages[s].detection > 0.0)) continue;
    const auto there = paths.at(0, bed, s);
    for (const float x : there) sum += static_cast<double>(x) * life.stages[s].detection / static_cast<double>(there.size());
  }
  const double plants = static_cast<double>(world.on(paths.first_day(), bed).plants);
  return plants > 0.0 ? sum / plants : 0.0;
}

}  // namespace

Status bed_ground(OpenGarden& garden, const BedQuestion& question, Instant now, int days_ahead, BedGround& ground) {
  auto moment = moment_of(garden, question.at, now);
  if (!moment) return fail(moment.error());
  ground.garden = std::move(moment->garden);
  if (auto found = find_bed(ground.garden, question.bed); !found) return found;
  ground.request.garden = &ground.garden;
  ground.request.library = &garden.library();
  ground.request.cards = std::move(moment->cards);
  ground.request.zone = std::move(moment->zone);
  ground.request.at = moment->at;
  ground.request.weather = weather_known(moment->files, moment->day, days_ahead + 2);
  ground.population = population_ground(ground.request);
  ground.context = decision::context_of(ground.request);
  ground.bed = decision::bed_context(*ground.context, question.bed);
  if (ground.bed.standing.empty()) return fail("compare.bed_empty", {{}, 0, "--bed"}, {{"bed", question.bed}});
  return find_pests(garden.library(), question, ground);
}

const pest::Threshold* pressing_threshold(const pest::Dossier& dossier, const garden::Planting& host, Date today,
                                          const population::Paths& paths, const population::World& world, std::size_t bed, double k) {
  const pest::Threshold* best = nullptr;
  double most = -1.0;
  for (const pest::Threshold& threshold : dossier.thresholds) {
    const bool applies =
        threshold.crops.empty() || std::find(threshold.crops.begin(), threshold.crops.end(), host.sown.crop) != threshold.crops.end();
    if (!applies || !decision::fits_age(threshold, host, today)) continue;
    decision::LossBasis basis;
    basis.unit = decision::LossUnit::threshold;
    basis.threshold = &threshold;
    const decision::Target counted = decision::target_for(dossier, &threshold);
    const decision::Crowd crowd = decision::crowd_of(paths, world, bed, counted.stages, counted.there);
    const double over = decision::weight_above(decision::harm(basis, crowd, crowd, k).days_over, {}, 0.0);
    if (over > most) {
      most = over;
      best = &threshold;
    }
  }
  return best;
}

PestCompared compare_pest(const PopulationGround& population, const BedContext& here, const PestRun& run) {
  const pest::Dossier& dossier = *run.dossier;
  const garden::Planting& host = *decision::best_host(here, dossier);
  PestCompared out;
  out.dossier = &dossier;
  out.crop = host.sown.crop;
  out.gate = run.gate;
  out.assumed = run.life->assumed;
  const std::int32_t today = (population.today - run.world.first).count;
  const std::size_t bed = run.world.bed(here.bed).value();
  const auto paths = [&](std::span<const population::Deed> deeds) { return run.filter->paths(today, today + compare_days, deeds); };
  const population::Paths undisturbed = paths({});
  decision::CompareRequest request;
  request.dossier = &dossier;
  request.world = &run.world;
  request.bed = bed;
  request.k = run.filter->learned(bed, population::Unknown::clumping).p50;
  const pest::Damage* damage = decision::damage_to(dossier, host.sown.crop);
  const auto curve = damage != nullptr ? decision::published_curve(*damage, decision::Outlet::sale) : std::nullopt;
  out.basis = decision::loss_basis(dossier, host.sown.crop, decision::plants_in(host), {}, curve);
  if (out.basis.unit == decision::LossUnit::threshold) {
    out.basis.threshold = pressing_threshold(dossier, host, population.today, undisturbed, run.world, bed, request.k);
    if (out.basis.threshold == nullptr) {
      out.basis.unit = decision::LossUnit::injury;
      out.basis.why = {"loss.no_threshold_now", {{"pest", decision::pest_term(dossier)}}};
    }
  }
  request.basis = out.basis;
  request.paths = paths;
  out.acts = decision::acts_for(acts_request(population, here, run, host, undisturbed));
  request.acts = out.acts.possible;
  out.comparison = decision::compare(request);
  const auto parts = decision::outlook(here, dossier, host);
  out.by_timing = decision::advise(here, dossier, host, decision::choices(here, dossier, parts, host), decision::horizon);
  return out;
}

decision::ActsRequest acts_request(const PopulationGround& population, const BedContext& bed, const PestRun& run,
                                   const garden::Planting& host, const population::Paths& undisturbed) {
  decision::ActsRequest request;
  request.bed = &bed;
  request.dossier = run.dossier;
  request.host = &host;
  request.life = run.life.get();
  request.world = &run.world;
  request.place = run.world.bed(bed.bed).value();
  request.present = decision::stages_present(undisturbed, request.place, {}, 4);
  request.found_per_plant = found_per_plant(undisturbed, run.world, request.place, *run.life);
  request.standard_offset = population.standard_offset;
  return request;
}

BedAsked asked_of(const BedGround& ground) {
  BedAsked answer;
  answer.at = ground.request.at;
  answer.day = ground.population.today;
  answer.bed = ground.bed.bed;
  answer.zone = ground.request.zone;
  if (const auto& described = ground.garden.described) {
    answer.garden_name = described->name;
    answer.marked = described->marked;
    answer.units = described->units;
  }
  answer.planting = ground.bed.main().sown.planting;
  answer.crop = ground.bed.main().sown.crop;
  if (ground.population.air.members.empty()) {
    answer.nothing = Reason{ground.garden.described ? "outlook.no_weather" : "outlook.no_place", {}};
  } else if (ground.pests.empty()) {
    answer.nothing = Reason{"compare.no_pest", {{"bed", ground.bed.bed}}};
  }
  return answer;
}

Result<CompareAnswer> compare(OpenGarden& garden, const BedQuestion& question, Instant now) {
  BedGround ground;
  if (auto made = bed_ground(garden, question, now, compare_days, ground); !made) return fail(made.error());
  CompareAnswer answer{asked_of(ground), {}};
  if (answer.nothing) return answer;
  WorkerPool workers;
  for (const pest::Dossier* dossier : ground.pests)
    answer.pests.push_back(compare_pest(ground.population, ground.bed, run_pest(ground.population, *dossier, compare_days + 1, workers)));
  return answer;
}

}  // namespace leafturn::app
