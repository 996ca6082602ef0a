#include "core/decision/compare.hpp"

#include <algorithm>

#include "core/decision/context.hpp"

namespace leafturn::decision {
namespace {

// Cut points of advice; common practice, no source. The first is the brief's.
constexpr double act_at = 0.5;
constexpr double chance_worth_acting_on = 0.05;

// A crop brought in is harmed no more.
void bring_in(Crowd& crowd, std::size_t from) {
  for (std::size_t d = from; d < crowd.days; ++d)
    for (std::size_t m = 0; m < crowd.members; ++m) crowd.per_plant[d * crowd.members + m] = 0.0F;
}

struct Outcome {
  Harm harm;
  std::vector<double> total;  ///< [member] with cost and hours where the unit is money
};

double worth_of_bed(const LossBasis& basis) {
  const double grams = basis.plants * basis.worth.per_plant->grams();
  return basis.unit == LossUnit::money ? grams * 1e-3 * basis.worth.per_kg->amount() : grams;
}

double price(const CompareRequest& r, const Act& act) {
  double sum = act.cost ? act.cost->amount() : 0.0;
  if (r.hour && act.minutes) sum += r.hour->amount() * *act.minutes / 60.0;
  return sum;
}

Outcome outcome_of(const CompareRequest& r, const Act& act, const population::Paths& paths) {
  Crowd feeding = crowd_of(paths, *r.world, r.bed, feeding_stages(*r.dossier));
  Crowd counted;
  if (r.basis.threshold != nullptr) {
    const Target what = target_for(*r.dossier, r.basis.threshold);
    counted = crowd_of(paths, *r.world, r.bed, what.stages, what.there);
  }
  if (act.picks || act.forgoes) {
    const std::int32_t day = (act.on - r.world->first).count - paths.first_day();
    const auto from = static_cast<std::size_t>(std::max(0, day));
    bring_in(feeding, from);
    bring_in(counted, from);
  }
  Outcome out{harm(r.basis, feeding, counted, r.k), {}};
  if (act.forgoes && (r.basis.unit == LossUnit::money || r.basis.unit == LossUnit::mass))
    for (double& loss : out.harm.loss) loss = worth_of_bed(r.basis);
  out.total = out.harm.loss;
  if (r.basis.unit == LossUnit::money)
    for (double& x : out.total) x += price(r, act);
  return out;
}

std::vector<double> difference(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<double> d(a.size());
  for (std::size_t i = 0; i < d.size(); ++i) d[i] = a[i] - b[i];
  return d;
}

// Members' shares count by what they lose by doing nothing, so that the mean share is the share of the means.
Estimate share_saved(const std::vector<double>& saved, const std::vector<double>& lost, const std::vector<double>& weights) {
  std::vector<double> shares;
  std::vector<double> counts;
  double all = 0.0;
  for (std::size_t m = 0; m < lost.size(); ++m) {
    const double weight = lost[m] * (weights.empty() ? 1.0 : weights[m]);
    if (!(weight > 0.0)) continue;
    shares.push_back(saved[m] / lost[m]);
    counts.push_back(weight);
    all += weight;
  }
  if (shares.empty()) return {};
  for (double& weight : counts) weight /= all;
  const Expectation e = expectation(shares, counts);
  return {e.mean, e.p05, e.p95};
}

void say_why(const CompareRequest& r, const std::vector<const Ranked*>& by_loss, const Ranked& nothing, Comparison& out) {
  const Ranked& chosen = out.options.front();
  const Ranked& best = *by_loss.front();
  out.why.push_back(r.basis.why);
  if (r.basis.threshold != nullptr)
    out.why.push_back({"compare.over", {{"p", Share{nothing.p_over}}, {"threshold", as_published(r.basis.threshold->value.value)}}});
  const Term chosen_term{"means." + chosen.act->means};
  if (chosen.act->order < 0) {
    if (out.unit == LossUnit::injury)
      out.why.push_back({"compare.no_measure", {}});
    else if (best.act == chosen.act)
      out.why.push_back({"compare.nothing_best", {}});
    else if (chosen.tied)
      out.why.push_back({"compare.nothing_tied", {}});
    else
      out.why.push_back({"compare.nothing_unlikely", {{"p", Share{nothing.p_over}}}});
    return;
  }
  if (nothing.loss.mean > 0.0)
    out.why.push_back(
        {"compare.saves", {{"share", Share{chosen.share.mean}}, {"low", Share{chosen.share.p05}}, {"high", Share{chosen.share.p95}}}});
  const bool passed_over = std::any_of(out.options.begin(), out.options.end(), [&](const Ranked& other) {
    return other.tied && other.act->tried && other.act->order >= 0 && other.act->order < chosen.act->order;
  });
  if (passed_over) out.why.push_back({"compare.tried", {{"days", std::int64_t{tried_days}}, {"pest", pest_term(*r.dossier)}}});
  if (best.act != chosen.act) out.why.push_back({best.act->order > chosen.act->order ? "compare.gentler" : "compare.easier", {}});
  if (out.unit == LossUnit::money && (!chosen.act->cost || !r.hour)) out.why.push_back({"compare.cost_unknown", {}});
  if (out.unit != LossUnit::money && chosen.act->minutes)
    out.why.push_back({"compare.minutes", {{"minutes", std::int64_t{*chosen.act->minutes}}}});
}

}  // namespace

Crowd crowd_of(const population::Paths& paths, const population::World& world, std::size_t bed, std::span<const std::size_t> stages,
               double in_one) {
  Crowd out{paths.days(), paths.members(), std::vector<float>(paths.days() * paths.members(), 0.0F)};
  for (std::size_t d = 0; d < out.days; ++d) {
    const float plants = world.on(paths.first_day() + static_cast<std::int32_t>(d), bed).plants;
    if (!(plants > 0.0F)) continue;
    const float each = 1.0F / (plants * static_cast<float>(in_one));
    for (const std::size_t s : stages) {
      const auto there = paths.at(d, bed, s);
      for (std::size_t m = 0; m < out.members; ++m) out.per_plant[d * out.members + m] += there[m] * each;
    }
  }
  return out;
}

std::vector<std::size_t> stages_present(const population::Paths& paths, std::size_t bed, std::span<const double> weights,
                                        std::size_t days) {
  std::vector<std::size_t> present;
  for (std::size_t s = 0; s < paths.stages(); ++s) {
    bool there = false;
    for (std::size_t d = 0; d < std::min(days, paths.days()) && !there; ++d) {
      const auto x = paths.at(d, bed, s);
      const std::vector<double> individuals(x.begin(), x.end());
      there = weight_above(individuals, weights, 0.5) >= chance_worth_acting_on;
    }
    if (there) present.push_back(s);
  }
  return present;
}

Comparison compare(const CompareRequest& r) {
  Comparison out;
  out.unit = r.basis.unit;
  std::vector<Outcome> outcomes;
  for (const Act& act : r.acts) outcomes.push_back(outcome_of(r, act, r.paths(act.deeds)));
  std::size_t best = 0;
  std::vector<double> mean;
  for (const Outcome& o : outcomes) mean.push_back(expectation(o.total, r.weights).mean);
  for (std::size_t i = 0; i < mean.size(); ++i)
    if (mean[i] < mean[best]) best = i;
  const double at_stake = mean.front();
  std::vector<Ranked> all;
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    const Outcome& o = outcomes[i];
    Ranked c;
    c.act = &r.acts[i];
    c.loss = expectation(o.harm.loss, r.weights);
    c.total = expectation(o.total, r.weights);
    c.share = share_saved(difference(outcomes.front().harm.loss, o.harm.loss), outcomes.front().harm.loss, r.weights);
    c.saved = expectation(difference(outcomes.front().total, o.total), r.weights);
    if (!o.harm.days_over.empty()) {
      c.p_over = weight_above(o.harm.days_over, r.weights, 0.0);
      c.days_over = expectation(o.harm.days_over, r.weights).mean;
    }
    const Expectation behind = expectation(difference(o.total, outcomes[best].total), r.weights);
    const double open = 0.5 * std::max(c.act->high - c.act->low, r.acts[best].high - r.acts[best].low) * at_stake;
    c.tied = behind.mean <= std::max(2.0 * behind.error, open);
    all.push_back(std::move(c));
  }
  const bool nothing_first =
      out.unit == LossUnit::injury || (out.unit != LossUnit::money && r.basis.threshold != nullptr && all.front().p_over < act_at);
  std::vector<const Ranked*> by_loss;
  for (const Ranked& c : all) by_loss.push_back(&c);
  std::stable_sort(by_loss.begin(), by_loss.end(), [](const Ranked* a, const Ranked* b) { return a->total.mean < b->total.mean; });
  std::vector<const Ranked*> order = by_loss;
  const auto minutes = [](const Ranked* c) { return c->act->minutes.value_or(60); };
  std::stable_sort(order.begin(), order.end(), [&](const Ranked* a, const Ranked* b) {
    if (nothing_first && (a->act->order < 0) != (b->act->order < 0)) return a->act->order < 0;
    if (a->tied != b->tied) return a->tied;
    if (!a->tied) return false;
    if (a->act->tried != b->act->tried) return b->act->tried;
    if (a->act->order != b->act->order) return a->act->order < b->act->order;
    if (minutes(a) != minutes(b)) return minutes(a) < minutes(b);
    return a->act->on < b->act->on;
  });
  const Ranked nothing = all.front();
  for (const Ranked* c : order) out.options.push_back(*c);
  if (!out.options.empty()) say_why(r, by_loss, nothing, out);
  return out;
}

}  // namespace leafturn::decision
