#include "core/decision/pull.hpp"

#include <algorithm>
#include <numeric>

#include "core/base/elementary.hpp"

namespace leafturn::decision {
namespace {

using population::Deed;
using population::Movement;

constexpr double high_among = 0.5;
constexpr double high_over = 0.2;
// Fewer than this in a whole bed are none.
constexpr double one_individual = 0.5;

// What pulling changed in one bed, by member.
struct Change {
  std::vector<double> more;                // individual-days of feeding per plant, against not pulling
  std::vector<double> more_there;          // the same in the whole bed
  std::vector<double> over, over_without;  // 1 where the threshold is passed
};

std::vector<double> passes(const pest::Threshold& threshold, const Crowd& counted, double k) {
  LossBasis basis;
  basis.unit = LossUnit::threshold;
  basis.threshold = &threshold;
  Harm h = harm(basis, counted, counted, k);
  for (double& days : h.days_over) days = days > 0.0 ? 1.0 : 0.0;
  return std::move(h.days_over);
}

Crowd cut(Crowd crowd, std::size_t days) {
  crowd.days = std::min(crowd.days, days);
  crowd.per_plant.resize(crowd.days * crowd.members);
  return crowd;
}

std::size_t days_of(const PullRequest& r, const PullPlan& plan, const population::Paths& paths) {
  const std::int32_t pulled = (plan.on - r.world->first).count - paths.first_day();
  return static_cast<std::size_t>(std::max(0, pulled) + r.days + 1);
}

Change change_in(const PullRequest& r, const Receiver& bed, const population::Paths& with, const population::Paths& without,
                 std::size_t days) {
  const auto feeding = feeding_stages(*r.dossier);
  Change out;
  const auto fed = injury(cut(crowd_of(with, *r.world, bed.place, feeding), days));
  const auto fed_without = injury(cut(crowd_of(without, *r.world, bed.place, feeding), days));
  const double plants = static_cast<double>(r.world->on(with.first_day(), bed.place).plants);
  for (std::size_t m = 0; m < fed.size(); ++m) {
    out.more.push_back(std::max(0.0, fed[m] - fed_without[m]));
    out.more_there.push_back(out.more.back() * plants);
  }
  if (bed.threshold != nullptr) {
    const Target what = target_for(*r.dossier, bed.threshold);
    out.over = passes(*bed.threshold, cut(crowd_of(with, *r.world, bed.place, what.stages, what.there), days), r.k);
    out.over_without = passes(*bed.threshold, cut(crowd_of(without, *r.world, bed.place, what.stages, what.there), days), r.k);
  }
  return out;
}

// [bed][member] 1 where the bed is in the third that gets most.
std::vector<std::vector<double>> among_most(const std::vector<Change>& beds, std::size_t members) {
  const std::size_t most = std::min(beds.size(), std::max<std::size_t>(1, beds.size() / 3));
  std::vector<std::vector<double>> among(beds.size(), std::vector<double>(members, 0.0));
  std::vector<std::size_t> order(beds.size());
  for (std::size_t m = 0; m < members; ++m) {
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return beds[a].more[m] > beds[b].more[m]; });
    for (std::size_t i = 0; i < most; ++i)
      if (beds[order[i]].more_there[m] >= one_individual) among[order[i]][m] = 1.0;
  }
  return among;
}

double mean_of(const std::vector<double>& values, const std::vector<double>& weights) {
  double sum = 0.0;
  for (std::size_t m = 0; m < values.size(); ++m) sum += weights[m] * values[m];
  return sum;
}

Risk risk_of(double among, double over_more) {
  if (among > high_among || over_more >= high_over) return Risk::high;
  if (among > 0.5 * high_among || over_more >= 0.5 * high_over) return Risk::some;
  return Risk::little;
}

std::vector<BedRisk> ranked(const PullRequest& r, const std::vector<Change>& beds, const std::vector<std::vector<double>>& among,
                            const std::vector<double>& weights) {
  std::vector<BedRisk> out;
  for (std::size_t b = 0; b < beds.size(); ++b) {
    BedRisk risk;
    risk.receiver = &r.receivers[b];
    risk.among_most = mean_of(among[b], weights);
    if (!beds[b].over.empty()) risk.over_more = std::max(0.0, mean_of(beds[b].over, weights) - mean_of(beds[b].over_without, weights));
    risk.risk = risk_of(risk.among_most, risk.over_more);
    out.push_back(risk);
  }
  std::stable_sort(out.begin(), out.end(), [](const BedRisk& a, const BedRisk& b) {
    if (a.risk != b.risk) return a.risk < b.risk;
    return a.among_most + a.over_more > b.among_most + b.over_more;
  });
  return out;
}

std::vector<double> normalised(std::vector<double> weights) {
  const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
  if (sum > 0.0)
    for (double& w : weights) w /= sum;
  return weights;
}

std::vector<double> weights_of_way(const PullRequest& r, const std::vector<double>& all, Movement way) {
  std::vector<double> w = all;
  for (std::size_t m = 0; m < w.size(); ++m)
    if (r.ways[m] != way) w[m] = 0.0;
  return normalised(std::move(w));
}

std::vector<double> sent_on(const std::vector<Change>& beds, std::size_t members) {
  std::vector<double> sum(members, 0.0);
  for (const Change& bed : beds)
    for (std::size_t m = 0; m < members; ++m) sum[m] += bed.more_there[m];
  return sum;
}

// Ratio of the means, with the interval of the members' own ratios where the plain pull sends anything on.
Estimate against(const std::vector<double>& sent, const std::vector<double>& plain, const std::vector<double>& weights) {
  const double all = mean_of(plain, weights);
  if (!(all > 0.0)) return {1.0, 1.0, 1.0};
  std::vector<double> ratios;
  std::vector<double> kept;
  for (std::size_t m = 0; m < sent.size(); ++m)
    if (plain[m] >= one_individual && weights[m] > 0.0) {
      ratios.push_back(sent[m] / plain[m]);
      kept.push_back(weights[m] * plain[m]);
    }
  if (ratios.empty()) return {mean_of(sent, weights) / all, 0.0, 1.0};
  const Expectation s = expectation(ratios, normalised(std::move(kept)));
  return {mean_of(sent, weights) / all, s.p05, s.p95};
}

int step_days(const Act& act, const ActsRequest& request) {
  int days = (act.on - request.bed->all->today).count + 1;
  if (act.judgement && act.judgement->reentry) days = std::max(days, (act.judgement->reentry->date - request.bed->all->today).count + 1);
  return days;
}

}  // namespace

std::string_view word_for(Risk risk) {
  switch (risk) {
    case Risk::high:
      return "high";
    case Risk::some:
      return "some";
    case Risk::little:
      return "little";
  }
  return "";
}

std::vector<PullPlan> pull_plans(const ActsRequest& request, std::span<const Act> acts) {
  const BriefRequest& brief = *request.bed->all->request;
  const Date today = request.bed->all->today;
  const auto cleared = population::deed_for(*request.life, *brief.library, Deed::Kind::pull, "pull", false);
  if (!cleared) return {};
  const auto step = [&](int day) {
    return request.world->step_at(Zone::fixed(request.standard_offset).civil(brief.at + Duration::hours(24 * day)));
  };
  const auto pull = [&](int day, bool clear) {
    Deed deed = *cleared;
    if (!clear) {
      std::fill(deed.low.begin(), deed.low.end(), 0.0F);
      std::fill(deed.high.begin(), deed.high.end(), 0.0F);
    }
    deed.bed = request.place;
    deed.at = step(day);
    return deed;
  };
  std::vector<PullPlan> plans{{nullptr, today, false, {pull(0, false)}}, {nullptr, today, true, {pull(0, true)}}};
  for (const Act& act : acts) {
    const bool kills = !act.deeds.empty() && act.deeds.front().kind == Deed::Kind::kill;
    const bool repeated =
        std::any_of(plans.begin(), plans.end(), [&](const PullPlan& p) { return p.first != nullptr && p.first->means == act.means; });
    if (!kills || repeated) continue;
    const int day = step_days(act, request);
    PullPlan plan{&act, today + Days{day}, true, act.deeds};
    plan.deeds.push_back(pull(day, true));
    plans.push_back(std::move(plan));
  }
  return plans;
}

PullAnswer pull_risks(const PullRequest& r) {
  PullAnswer out;
  const population::Paths without = r.paths({});
  const std::size_t members = without.members();
  std::vector<double> weights = r.weights;
  if (weights.empty()) weights.assign(members, 1.0 / static_cast<double>(members));
  for (std::size_t m = 0; m < members; ++m) out.ways[static_cast<std::size_t>(r.ways[m])] += weights[m];
  std::vector<double> plain;
  double least = 0.0;
  for (const PullPlan& plan : r.plans) {
    const population::Paths with = r.paths(plan.deeds);
    const std::size_t days = days_of(r, plan, with);
    std::vector<Change> beds;
    for (const Receiver& receiver : r.receivers) beds.push_back(change_in(r, receiver, with, without, days));
    const auto among = among_most(beds, members);
    const auto sent = sent_on(beds, members);
    if (out.plans.empty()) plain = sent;
    PlanRisk risk;
    risk.plan = &plan;
    for (std::size_t way = 0; way < 3; ++way)
      risk.by_way[way] = ranked(r, beds, among, weights_of_way(r, weights, static_cast<Movement>(way)));
    risk.together = ranked(r, beds, among, weights);
    risk.against_plain = against(sent, plain, weights);
    if (out.plans.empty() || risk.against_plain.mean < least) {
      least = risk.against_plain.mean;
      out.least = out.plans.size();
    }
    out.plans.push_back(std::move(risk));
  }
  return out;
}

std::vector<Receiver> receivers_of(const BedContext& bed, const pest::Dossier& dossier, const population::World& world) {
  const BriefRequest& request = *bed.all->request;
  const auto here = world.bed(bed.bed);
  std::vector<Receiver> found;
  if (!here) return found;
  for (std::size_t place = 0; place < world.beds.size(); ++place) {
    if (place == *here) continue;
    Receiver receiver;
    receiver.bed = world.beds[place].name;
    receiver.place = place;
    for (const garden::Planting* p : request.garden->standing(receiver.bed, request.at, bed.all->today))
      if (const int liking = preference(dossier, p->sown.crop); liking > receiver.liking) {
        receiver.liking = liking;
        receiver.crop = p->sown.crop;
      }
    if (receiver.liking == 0) continue;
    const double dx = world.beds[place].x_m - world.beds[*here].x_m;
    const double dy = world.beds[place].y_m - world.beds[*here].y_m;
    receiver.metres = num::sqrt(dx * dx + dy * dy);
    receiver.threshold = threshold_for(dossier, receiver.crop);
    found.push_back(std::move(receiver));
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Receiver& a, const Receiver& b) { return a.liking != b.liking ? a.liking > b.liking : a.metres < b.metres; });
  return found;
}

}  // namespace leafturn::decision
