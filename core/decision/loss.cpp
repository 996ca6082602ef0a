#include "core/decision/loss.hpp"

#include <algorithm>
#include <numeric>

#include "core/base/elementary.hpp"
#include "core/base/special.hpp"
#include "core/decision/outlook.hpp"

namespace leafturn::decision {
namespace {

using pest::Damage;
using pest::StageGroup;

double weight_of(std::span<const double> weights, std::size_t i, std::size_t n) {
  return weights.empty() ? 1.0 / static_cast<double>(n) : weights[i];
}

}  // namespace

std::string_view word_for(Outlet outlet) {
  switch (outlet) {
    case Outlet::sale:
      return "sale";
    case Outlet::box:
      return "box";
    case Outlet::donation:
      return "donation";
    case Outlet::kitchen:
      return "kitchen";
  }
  return "";
}

std::string_view word_for(LossUnit unit) {
  switch (unit) {
    case LossUnit::money:
      return "money";
    case LossUnit::mass:
      return "mass";
    case LossUnit::threshold:
      return "threshold";
    case LossUnit::injury:
      return "injury";
  }
  return "";
}

const Damage* damage_to(const pest::Dossier& dossier, std::string_view crop) {
  const Damage* general = nullptr;
  for (const Damage& d : dossier.damages) {
    if (std::find(d.crops.begin(), d.crops.end(), crop) != d.crops.end()) return &d;
    if (d.crops.empty() && general == nullptr) general = &d;
  }
  return general;
}

bool is_by_rejection(Damage::Kind kind) { return kind == Damage::Kind::harvested || kind == Damage::Kind::contaminant; }

std::vector<std::size_t> feeding_stages(const pest::Dossier& dossier) {
  const bool adults_feed = dossier.order != "Lepidoptera" && dossier.order != "Diptera";
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < dossier.stages.size(); ++i) {
    const StageGroup group = dossier.stages[i].group;
    if (group == StageGroup::nymph || group == StageGroup::larva || (group == StageGroup::adult && adults_feed)) found.push_back(i);
  }
  return found;
}

std::optional<LossCurve> published_curve(const Damage& damage, Outlet outlet) {
  if (!damage.loss || damage.loss->per != Damage::Loss::Per::individual_day) return std::nullopt;
  LossCurve curve{{0.5 * (damage.loss->low + damage.loss->high), 1.0}, std::nullopt, damage.loss->source};
  if (!is_by_rejection(damage.kind)) return curve;
  const auto refused =
      std::find_if(damage.rejects.begin(), damage.rejects.end(), [&](const auto& r) { return r.outlet == word_for(outlet); });
  if (refused == damage.rejects.end()) return std::nullopt;
  curve.share.first *= 0.5 * (refused->low + refused->high);
  curve.outlet = outlet;
  return curve;
}

Estimate RejectShare::estimate() const {
  return {mean(), num::beta_quantile(rejected, kept, 0.05), num::beta_quantile(rejected, kept, 0.95)};
}

double RejectShare::probability_over(double share) const { return 1.0 - num::beta_cdf(rejected, kept, share); }

RejectShare after_culls(RejectShare before, int looked_over, std::span<const Culls> culls, std::string_view cause) {
  int here = 0;
  int elsewhere = 0;
  for (const Culls& c : culls) {
    if (c.pieces < 0) return before;
    (c.cause == cause ? here : elsewhere) += c.pieces;
  }
  if (here + elsewhere > looked_over) return before;
  before.rejected += here;
  before.kept += looked_over - here - elsewhere;
  return before;
}

std::optional<LossCurve> curve_from_culls(const RejectShare& share, double injury, Outlet outlet) {
  if (!share.learned() || !(injury > 0.0)) return std::nullopt;
  LossCurve curve;
  // Through (injury, mean) on the hyperbola that ends at everything lost: a·I/(1 + a·I) = mean.
  curve.share = {share.mean() / (1.0 - share.mean()) / injury, 1.0};
  curve.outlet = outlet;
  curve.source = {"this garden's own packing table", pest::Known::fitted, ""};
  return curve;
}

LossBasis loss_basis(const pest::Dossier& dossier, std::string_view crop, double plants, const Worth& worth,
                     const std::optional<LossCurve>& curve) {
  LossBasis out;
  out.plants = plants;
  out.damage = damage_to(dossier, crop);
  out.threshold = threshold_for(dossier, crop);
  out.worth = worth;
  const bool by_rejection = out.damage != nullptr && is_by_rejection(out.damage->kind);
  if (curve && out.damage != nullptr && (!by_rejection || curve->outlet == worth.outlet)) out.curve = curve;
  const Term pest = pest_term(dossier);
  if (out.curve && worth.per_plant && worth.per_kg) {
    out.unit = LossUnit::money;
    out.why = {"loss.money", {{"source", out.curve->source.citation}}};
  } else if (out.curve && worth.per_plant) {
    out.unit = LossUnit::mass;
    out.why = {"loss.no_price", {{"source", out.curve->source.citation}}};
  } else if (out.threshold != nullptr) {
    out.unit = LossUnit::threshold;
    out.why = {out.curve ? "loss.no_yield" : "loss.no_curve", {{"pest", pest}, {"source", out.threshold->value.source.citation}}};
  } else {
    out.unit = LossUnit::injury;
    out.why = {"loss.no_threshold", {{"pest", pest}}};
  }
  return out;
}

std::vector<double> injury(const Crowd& feeding) {
  std::vector<double> out(feeding.members, 0.0);
  for (std::size_t d = 0; d < feeding.days; ++d)
    for (std::size_t m = 0; m < feeding.members; ++m) out[m] += static_cast<double>(feeding.at(d, m));
  return out;
}

double share_infested(double mean, double k) {
  if (!(mean > 0.0)) return 0.0;
  return 1.0 - num::exp(-k * num::log1p(mean / k));
}

Harm harm(const LossBasis& basis, const Crowd& feeding, const Crowd& counted, double k) {
  Harm out;
  std::vector<double> excess(counted.members, 0.0);
  if (basis.threshold != nullptr) {
    const double limit = basis.threshold->value.value;
    const bool share = basis.threshold->measure == pest::Threshold::Measure::share_of_plants;
    out.days_over.assign(counted.members, 0.0);
    for (std::size_t d = 0; d < counted.days; ++d)
      for (std::size_t m = 0; m < counted.members; ++m) {
        const double here = share ? share_infested(counted.at(d, m), k) : static_cast<double>(counted.at(d, m));
        if (!(here > limit)) continue;
        out.days_over[m] += 1.0;
        excess[m] += limit > 0.0 ? here / limit - 1.0 : here;
      }
  }
  if (basis.unit == LossUnit::threshold) {
    out.loss = std::move(excess);
    return out;
  }
  out.loss = injury(feeding);
  if (basis.unit == LossUnit::injury) return out;
  const double grams = basis.plants * basis.worth.per_plant->grams();
  const double each = basis.unit == LossUnit::money ? grams * 1e-3 * basis.worth.per_kg->amount() : grams;
  for (double& x : out.loss) x = share_lost(basis.curve->share, x) * each;
  return out;
}

Expectation expectation(std::span<const double> values, std::span<const double> weights) {
  Expectation out;
  const std::size_t n = values.size();
  if (n == 0) return out;
  double squares = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const double w = weight_of(weights, i, n);
    out.mean += w * values[i];
    squares += w * w;
  }
  double variance = 0.0;
  for (std::size_t i = 0; i < n; ++i) variance += weight_of(weights, i, n) * (values[i] - out.mean) * (values[i] - out.mean);
  out.error = num::sqrt(variance * squares);
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return values[a] < values[b] || (!(values[b] < values[a]) && a < b); });
  double below = 0.0;
  out.p05 = out.p95 = values[order.back()];
  bool low_found = false;
  for (const std::size_t i : order) {
    below += weight_of(weights, i, n);
    if (!low_found && below >= 0.05) {
      out.p05 = values[i];
      low_found = true;
    }
    if (below >= 0.95) {
      out.p95 = values[i];
      break;
    }
  }
  return out;
}

double weight_above(std::span<const double> values, std::span<const double> weights, double limit) {
  double sum = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i)
    if (values[i] > limit) sum += weight_of(weights, i, values.size());
  return sum;
}

}  // namespace leafturn::decision
