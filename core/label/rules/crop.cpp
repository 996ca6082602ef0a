#include <algorithm>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

Fact crop_fact(const std::string& crop) { return {"crop", Term{"crop." + crop}}; }

/// How every use of the card lists the crop, and the first that lists it in some way.
class Uses {
 public:
  explicit Uses(const Case& asked) : asked_{asked} {
    for (const Use& u : asked.card.uses) how_.push_back(listed(u, asked.p.crop, asked.library));
  }
  std::optional<std::size_t> first(Listing kind) const {
    for (std::size_t i = 0; i < how_.size(); ++i)
      if (how_[i].how == kind) return i;
    return std::nullopt;
  }
  std::vector<std::size_t> covering() const {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < how_.size(); ++i)
      if (covers(how_[i])) found.push_back(i);
    return found;
  }
  const Listed& how(std::size_t i) const { return how_[i]; }
  Outcome answer(std::size_t i, State state, std::string code, std::string_view field = "crops") const {
    Outcome o = outcome_of(Rule::crop, state, field_of(i, field), std::move(code), {crop_fact(asked_.p.crop)});
    if (!how_[i].group.empty()) o.reason.facts.push_back({"group", how_[i].group});
    o.card_line = asked_.use(i).line;
    return o;
  }

 private:
  const Case& asked_;
  std::vector<Listed> how_;
};

std::string method_word(Method method) {
  switch (method) {
    case Method::foliar:
      return "foliar";
    case Method::soil:
      return "soil";
    case Method::chemigation:
      return "chemigation";
    case Method::dust:
      return "dust";
    case Method::bait:
      return "bait";
    case Method::seed:
      return "seed";
  }
  return {};
}

/// What the days before harvest of a neighbour's crop make of its planned harvests, were it sprayed too.
struct DriftFound {
  State state = State::pass;
  std::string code = "judge.drift.clear";
  std::size_t use = 0;
  std::vector<Fact> facts;
};

DriftFound reached(const Case& asked, const Neighbour& n) {
  const std::vector<Fact> where = {{"bed", n.bed}, crop_fact(n.crop)};
  DriftFound worst{State::conditional, "judge.drift.not_listed", 0, where};
  bool any = false;
  const auto worsen = [&](DriftFound found) {
    if (!any || badness(found.state) > badness(worst.state)) worst = std::move(found);
    any = true;
  };
  for (std::size_t i = 0; i < asked.card.uses.size(); ++i) {
    if (!covers(listed(asked.use(i), n.crop, asked.library))) continue;
    const double* days = asked.use(i).pre_harvest_days.value();
    if (days == nullptr) {
      worsen({State::conditional, "judge.drift.days_unknown", i, where});
      continue;
    }
    DriftFound found{State::pass, "judge.drift.clear", i, where};
    found.facts.push_back(days_fact("days", *days));
    found.facts.push_back({"from", civil(asked.after_days(*days))});
    for (const Moment& h : n.harvests) {
      if (!asked.follows(h)) continue;
      const State state = asked.against_days(h, *days);
      if (state == State::pass) continue;
      // It may be shielded or picked first, unless it surely is reached.
      const State answer = n.downwind ? state : State::conditional;
      if (badness(answer) <= badness(found.state)) continue;
      found.state = answer;
      found.code = state == State::refused ? "judge.drift.too_soon" : "judge.drift.not_before";
      found.facts.push_back({"harvest", h.time.date});
    }
    worsen(std::move(found));
  }
  return worst;
}

}  // namespace

Outcome crop_rule(Case& asked) {
  const Uses uses(asked);
  asked.uses = uses.covering();
  const auto unclear = uses.first(Listing::cannot_say);
  // A use that may or may not cover the crop could hold stricter directions, so it is never passed over in silence.
  if (const auto i = uses.first(Listing::by_name))
    return unclear ? uses.answer(*unclear, State::conditional, "judge.crop.listed_other_unclear")
                   : uses.answer(*i, State::pass, "judge.crop.listed");
  if (const auto known = uses.first(Listing::by_known_group))
    return unclear ? uses.answer(*unclear, State::conditional, "judge.crop.listed_other_unclear")
                   : uses.answer(*known, State::pass, "judge.crop.in_group");
  if (const auto unsure = uses.first(Listing::by_unsure_group)) {
    Outcome o = uses.answer(*unsure, State::conditional, "judge.crop.in_group_unsure");
    o.reason.facts.push_back({"known", Term{"label.known." + uses.how(*unsure).known}});
    return o;
  }
  if (unclear)
    return uses.answer(*unclear, State::unknown,
                       asked.library.crop(asked.p.crop) == nullptr ? "judge.crop.not_in_library" : "judge.crop.group_unknown");
  if (const auto excepted = uses.first(Listing::excepted)) return uses.answer(*excepted, State::refused, "judge.crop.excepted", "except");
  const bool empty = asked.card.uses.empty();
  return outcome_of(Rule::crop, empty ? State::unknown : State::refused, "use", empty ? "judge.crop.no_uses" : "judge.crop.not_listed",
                    {crop_fact(asked.p.crop)});
}

Answered method_rule(Case& asked) {
  if (!asked.p.method || asked.uses.empty()) return std::nullopt;
  std::optional<std::size_t> other;
  std::vector<std::size_t> kept;
  for (const std::size_t i : asked.uses) {
    const Method* stated = asked.use(i).method.value();
    if (stated != nullptr && *stated != *asked.p.method)
      other = other.value_or(i);
    else
      kept.push_back(i);
  }
  if (!other) return std::nullopt;
  asked.uses = kept;
  const Fact wanted{"method", Term{"label.method." + method_word(*asked.p.method)}};
  Outcome o = kept.empty() ? outcome_of(Rule::method, State::refused, field_of(*other, "method"), "judge.method.other", {wanted})
                           : outcome_of(Rule::method, State::pass, field_of(kept.front(), "method"), "judge.method.same", {wanted});
  o.card_line = asked.use(kept.empty() ? *other : kept.front()).line;
  return o;
}

Answered pest_rule(const Case& asked) {
  if (asked.p.pest.empty()) return std::nullopt;
  std::optional<std::size_t> elsewhere;
  const Fact pest{"pest", Term{"pest." + asked.p.pest}};
  const auto answer = [&](std::size_t i, State state, std::string code) {
    Outcome o = outcome_of(Rule::pest, state, field_of(i, "pests"), std::move(code), {pest});
    o.card_line = asked.use(i).line;
    return o;
  };
  for (const std::size_t i : asked.uses) {
    const auto* pests = asked.use(i).pests.value();
    if (pests == nullptr) continue;
    if (std::any_of(pests->begin(), pests->end(), [&](const PestDirection& d) { return d.pest == asked.p.pest; }))
      return answer(i, State::pass, "judge.pest.listed");
    elsewhere = elsewhere.value_or(i);
  }
  if (!elsewhere) return std::nullopt;
  if (asked.us()) return answer(*elsewhere, State::conditional, "judge.pest.not_listed_us");
  if (!asked.p.jurisdiction || asked.p.jurisdiction->empty()) return answer(*elsewhere, State::unknown, "judge.pest.no_jurisdiction");
  return answer(*elsewhere, State::refused, "judge.pest.not_listed");
}

std::vector<Outcome> drift_rule(const Case& asked) {
  std::vector<Outcome> out;
  for (const Neighbour& n : asked.p.neighbours) {
    DriftFound found = reached(asked, n);
    const bool not_listed = found.code == "judge.drift.not_listed";
    Outcome o = outcome_of(Rule::drift, found.state, not_listed ? "use" : field_of(found.use, "pre_harvest_days"), std::move(found.code),
                           std::move(found.facts));
    if (!not_listed) o.card_line = asked.use(found.use).line;
    out.push_back(std::move(o));
  }
  return out;
}

}  // namespace leafturn::label
