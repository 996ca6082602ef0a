#include "core/label/judge.hpp"

#include <algorithm>
#include <array>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

constexpr std::array rule_words{
    "crop",     "method",           "pest",        "rate",     "water",      "amount",     "pre_harvest", "reentry",    "work",   "feed",
    "interval", "max_applications", "consecutive", "rotation", "oil_sulfur", "plant_back", "setting",     "registered", "sale",   "organic",
    "cover",    "growth_stage",     "licence",     "handler",  "protection", "exclusion",  "bees",        "drift",      "expiry", "copied",
    "other"};

void put(Judgement& out, Answered answered) {
  if (answered) out.outcomes.push_back(std::move(*answered));
}
void put(Judgement& out, std::vector<Outcome> answered) {
  for (Outcome& o : answered) out.outcomes.push_back(std::move(o));
}

/// Later of pre-harvest and re-entry end. A spray dries within the day, but no hour is known for it: with no whole day to wait, no time is
/// named.
std::optional<CivilTime> earliest_harvest(const Waits& waits, const Proposal& p) {
  if (!waits.harvest_from || !waits.reentry_known) return std::nullopt;
  if (waits.until_dry && civil(*waits.harvest_from).date <= p.on.time.date) return std::nullopt;
  return civil(std::max(*waits.harvest_from, waits.entry_from.value_or(*waits.harvest_from)));
}

void directions(Case& asked, Judgement& out) {
  put(out, crop_rule(asked));
  put(out, method_rule(asked));
  if (asked.uses.empty()) {
    for (const Rule rule : {Rule::rate, Rule::pre_harvest, Rule::reentry, Rule::interval, Rule::max_applications})
      put(out, outcome_of(rule, State::unknown, "use", "judge.no_use"));
    return;
  }
  out.use = asked.uses.front();
  Waits waits;
  put(out, rate_rule(asked));
  put(out, pre_harvest_rule(asked, waits));
  put(out, reentry_rule(asked, waits));
  put(out, interval_rule(asked));
  put(out, max_applications_rule(asked));
  for (const auto rule : {pest_rule, water_rule, amount_rule, work_rule, feed_rule, consecutive_rule, rotation_rule, oil_sulfur_rule,
                          plant_back_rule, growth_stage_rule, cover_rule, bees_rule})
    put(out, rule(asked));
  put(out, drift_rule(asked));
  out.earliest_harvest = earliest_harvest(waits, asked.p);
  if (waits.reentry_known && waits.entry_from) out.reentry = civil(*waits.entry_from);
  out.reentry_until_dry = waits.until_dry;
}

Verdict verdict_of(const std::vector<Outcome>& worst_first) {
  switch (worst_first.front().state) {
    case State::refused:
      return Verdict::refused;
    case State::unknown:
      return Verdict::unknown;
    case State::conditional:
      return Verdict::conditional;
    case State::pass:
      return Verdict::allowed;
  }
  return Verdict::unknown;
}

void worst_first(std::vector<Outcome>& outcomes) {
  std::stable_sort(outcomes.begin(), outcomes.end(),
                   [](const Outcome& a, const Outcome& b) { return badness(a.state) > badness(b.state); });
}

}  // namespace

Judgement judge(const Card& card, const Proposal& proposal, const pest::Library& library) {
  Case asked{card, proposal, library, {}};
  Judgement out;
  directions(asked, out);
  put(out, setting_rule(asked));
  for (const auto rule :
       {registered_rule, sale_rule, organic_rule, licence_rule, handler_rule, protection_rule, exclusion_rule, expiry_rule})
    put(out, rule(asked));
  put(out, copied_rule(asked));
  put(out, other_rule(asked));
  for (Outcome& o : out.outcomes) o.remedy = remedy_for(o);
  worst_first(out.outcomes);
  out.verdict = verdict_of(out.outcomes);
  return out;
}

Judgement judge_tank(std::span<const Card* const> cards, const Proposal& proposal, const pest::Library& library) {
  Judgement tank;
  bool harvest_known = true;
  bool reentry_known = true;
  for (const Card* card : cards) {
    Judgement one = judge(*card, proposal, library);
    harvest_known = harvest_known && one.earliest_harvest.has_value();
    reentry_known = reentry_known && (one.reentry.has_value() || one.reentry_until_dry);
    if (one.earliest_harvest)
      tank.earliest_harvest = std::max(tank.earliest_harvest.value_or(*one.earliest_harvest), *one.earliest_harvest);
    if (one.reentry) tank.reentry = std::max(tank.reentry.value_or(*one.reentry), *one.reentry);
    tank.reentry_until_dry = tank.reentry_until_dry || one.reentry_until_dry;
    for (Outcome& o : one.outcomes) {
      o.card_field.insert(0, card->product + ": ");
      tank.outcomes.push_back(std::move(o));
    }
  }
  if (!harvest_known) tank.earliest_harvest.reset();
  if (!reentry_known) tank.reentry.reset();
  worst_first(tank.outcomes);
  if (!tank.outcomes.empty()) tank.verdict = verdict_of(tank.outcomes);
  return tank;
}

std::string_view word_for(Verdict verdict) {
  switch (verdict) {
    case Verdict::allowed:
      return "allowed";
    case Verdict::conditional:
      return "conditional";
    case Verdict::refused:
      return "refused";
    case Verdict::unknown:
      return "unknown";
  }
  return "";
}

std::string_view word_for(State state) {
  switch (state) {
    case State::pass:
      return "pass";
    case State::conditional:
      return "conditional";
    case State::refused:
      return "refused";
    case State::unknown:
      return "unknown";
  }
  return "";
}

std::string_view word_for(Rule rule) { return rule_words[static_cast<std::size_t>(rule)]; }

}  // namespace leafturn::label
