#include "app/pull.hpp"

#include <algorithm>

#include "core/decision/context.hpp"

namespace leafturn::app {
namespace {

constexpr int longest_plan = 5;  // days until pulling, when something is done first and nobody may enter for a while
constexpr int followed = 14;

void say_what_is_known(const PestRun& run, std::size_t bed, PestPulled& out) {
  const auto counts = run.counts[bed];
  out.knows.push_back({"pull.knows_counts", {{"n", std::int64_t{counts}}}});
  out.knows.push_back({"pull.knows_places", {}});
  out.cannot_know.push_back({"pull.no_headcount", {}});
  const auto& movement = run.dossier->movement;
  if (!movement.leave_per_day && !movement.distance_m)
    out.cannot_know.push_back({"pull.movement_unmeasured", {{"pest", decision::pest_term(*run.dossier)}}});
  if (run.filter->learned(bed, population::Unknown::movement).learned)
    out.knows.push_back({"pull.movement_learned", {}});
  else
    out.cannot_know.push_back({"pull.movement_not_learned", {}});
  const bool practice = std::any_of(run.dossier->efficacies.begin(), run.dossier->efficacies.end(),
                                    [](const pest::Efficacy& e) { return e.means == "pull" && e.source.known == pest::Known::practice; });
  if (practice) out.cannot_know.push_back({"pull.debris_unmeasured", {}});
}

PestPulled pull_pest(const BedGround& ground, const pest::Dossier& dossier, WorkerPool& workers) {
  const garden::Planting& host = *decision::best_host(ground.bed, dossier);
  const PestRun run = run_pest(ground.population, dossier, followed + longest_plan + 1, workers);
  PestPulled out;
  out.dossier = &dossier;
  out.crop = host.sown.crop;
  const std::int32_t today = (ground.population.today - run.world.first).count;
  const std::size_t bed = run.world.bed(ground.bed.bed).value();
  const auto paths = [&](std::span<const population::Deed> deeds) {
    return run.filter->paths(today, today + followed + longest_plan, deeds);
  };
  const population::Paths undisturbed = paths({});
  const decision::ActsRequest request = acts_request(ground.population, ground.bed, run, host, undisturbed);
  out.acts = decision::acts_for(request);
  out.receivers = decision::receivers_of(ground.bed, dossier, run.world);
  for (decision::Receiver& receiver : out.receivers)
    for (const garden::Planting* p : ground.garden.standing(receiver.bed, ground.request.at, ground.population.today))
      if (p->sown.crop == receiver.crop)
        receiver.threshold = pressing_threshold(dossier, *p, ground.population.today, undisturbed, run.world, receiver.place, 1.0);
  out.plans = decision::pull_plans(request, out.acts.possible);
  std::erase_if(out.plans, [&](const decision::PullPlan& p) { return p.on > ground.population.today + Days{longest_plan}; });
  say_what_is_known(run, bed, out);
  if (out.plans.empty()) {
    out.cannot_know.push_back({"pull.no_source", {{"pest", decision::pest_term(dossier)}}});
    return out;
  }
  decision::PullRequest asked;
  asked.dossier = &dossier;
  asked.world = &run.world;
  asked.bed = bed;
  asked.paths = paths;
  asked.ways = run.filter->ways(bed);
  asked.receivers = out.receivers;
  asked.plans = out.plans;
  asked.days = followed;
  out.answer = decision::pull_risks(asked);
  return out;
}

}  // namespace

Result<PullAnswer> pull(OpenGarden& garden, const BedQuestion& question, Instant now) {
  BedGround ground;
  if (auto made = bed_ground(garden, question, now, followed + longest_plan, ground); !made) return fail(made.error());
  PullAnswer answer{asked_of(ground), false, {}};
  answer.past_harvest = decision::past_harvest(ground.bed.main(), answer.day);
  if (answer.nothing) return answer;
  WorkerPool workers;
  for (const pest::Dossier* dossier : ground.pests) answer.pests.push_back(pull_pest(ground, *dossier, workers));
  return answer;
}

}  // namespace leafturn::app
