#include <algorithm>
#include <cmath>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {

Answered pre_harvest_rule(const Case& asked, Waits& waits) {
  bool known = true;
  std::int64_t clear = earliest(asked.p.on);
  const auto worst = asked.worst_of_uses([&](std::size_t i) {
    const auto& stated = asked.use(i).pre_harvest_days;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts) {
      return outcome_of(Rule::pre_harvest, state, field_of(i, "pre_harvest_days"), std::move(code), std::move(facts));
    };
    if (!stated.is_copied()) {
      known = false;
      return say(State::unknown, "judge.pre_harvest.not_copied", {});
    }
    if (stated.says_none()) return say(State::conditional, "judge.pre_harvest.none_stated", {});
    const double days = *stated.value();
    const std::int64_t from = asked.after_days(days);
    clear = std::max(clear, from);
    const std::vector<Fact> facts = {days_fact("days", days), {"from", civil(from)}};
    Outcome found = say(State::pass, "judge.pre_harvest.clear", facts);
    for (const Moment& h : asked.p.harvests) {
      if (!asked.follows(h)) continue;
      const State state = asked.against_days(h, days);
      if (badness(state) <= badness(found.state)) continue;
      found = say(state, state == State::refused ? "judge.pre_harvest.too_soon" : "judge.pre_harvest.not_before", facts);
      found.reason.facts.push_back({"harvest", h.time.date});
    }
    return found;
  });
  if (known) waits.harvest_from = clear;
  return worst;
}

namespace {

/// When the hours of a use end: surely, and at the soonest (an application known only to the day may have ended at midnight).
struct HoursEnd {
  std::int64_t sure, soonest;
};
HoursEnd end_of(const Case& asked, double hours) {
  const std::int64_t wait = span_seconds(hours);
  const Moment& on = asked.p.on;
  return {on.day_only ? seconds(on.time.date) + day_seconds + wait : asked.after(wait), earliest(on) + wait};
}

/// A planned moment against the hours: nothing when it is clear of them.
std::optional<State> inside(const Case& asked, const Moment& m, const HoursEnd& end) {
  if (!asked.follows(m) || earliest(m) >= end.sure) return std::nullopt;
  return latest(m) < end.soonest ? State::refused : State::conditional;
}

}  // namespace

Answered reentry_rule(const Case& asked, Waits& waits) {
  bool known = true;
  std::int64_t end = latest(asked.p.on);
  bool hours_given = false;
  const auto worst = asked.worst_of_uses([&](std::size_t i) {
    const auto& stated = asked.use(i).reentry;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
      return outcome_of(Rule::reentry, state, field_of(i, "reentry_hours"), std::move(code), std::move(facts));
    };
    if (!stated.is_copied()) {
      known = false;
      return say(State::unknown, "judge.reentry.not_copied");
    }
    if (stated.says_none() || stated.value()->until_dry) waits.until_dry = true;
    if (stated.says_none()) return say(State::conditional, "judge.reentry.none_stated");
    if (stated.value()->until_dry && !(stated.value()->hours > 0.0)) return say(State::conditional, "judge.reentry.until_dry");
    const HoursEnd hours = end_of(asked, stated.value()->hours);
    end = std::max(end, hours.sure);
    hours_given = true;
    const std::vector<Fact> facts = {{"hours", Number{stated.value()->hours, 0}}, {"end", civil(hours.sure)}};
    Outcome found = stated.value()->until_dry ? say(State::conditional, "judge.reentry.hours_and_dry", facts)
                                              : say(State::pass, "judge.reentry.until", facts);
    for (const Moment& h : asked.p.harvests) {
      const auto state = inside(asked, h, hours);
      if (!state || badness(*state) <= badness(found.state)) continue;
      found = say(*state, *state == State::refused ? "judge.reentry.harvest_inside" : "judge.reentry.harvest_not_before", facts);
      found.reason.facts.push_back({"harvest", h.time.date});
    }
    return found;
  });
  if (!known) {
    waits.until_dry = false;
    return worst;
  }
  waits.reentry_known = true;
  if (hours_given) waits.entry_from = end;
  return worst;
}

Answered work_rule(const Case& asked) {
  const bool any = std::any_of(asked.p.work.begin(), asked.p.work.end(), [&](const Moment& m) { return asked.follows(m); });
  if (!any) return std::nullopt;
  return asked.worst_of_uses([&](std::size_t i) {
    const auto& stated = asked.use(i).reentry;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
      return outcome_of(Rule::work, state, field_of(i, "reentry_hours"), std::move(code), std::move(facts));
    };
    if (!stated.is_copied()) return say(State::unknown, "judge.work.not_copied");
    if (stated.says_none() || stated.value()->until_dry) return say(State::conditional, "judge.work.until_dry");
    const HoursEnd hours = end_of(asked, stated.value()->hours);
    const Fact end{"end", civil(hours.sure)};
    Outcome found = say(State::pass, "judge.work.after", {end});
    for (const Moment& m : asked.p.work) {
      const auto state = inside(asked, m, hours);
      if (!state || badness(*state) <= badness(found.state)) continue;
      found = say(*state, *state == State::refused ? "judge.work.inside" : "judge.work.not_before", {end, {"work", m.time.date}});
    }
    return found;
  });
}

Answered feed_rule(const Case& asked) {
  const bool any = std::any_of(asked.p.feedings.begin(), asked.p.feedings.end(), [&](const Moment& m) { return asked.follows(m); });
  if (!any) return std::nullopt;
  return asked.worst_of_uses([&](std::size_t i) {
    const auto& harvest = asked.use(i).pre_harvest_days;
    const auto& feed = asked.use(i).feed_days;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
      return outcome_of(Rule::feed, state, field_of(i, feed.value() == nullptr ? "pre_harvest_days" : "feed_days"), std::move(code),
                        std::move(facts));
    };
    if (!harvest.is_copied()) return say(State::unknown, "judge.feed.not_copied");
    if (harvest.value() == nullptr && feed.value() == nullptr) return say(State::conditional, "judge.feed.none_stated");
    const double days = std::max(harvest.value() == nullptr ? 0.0 : *harvest.value(), feed.value() == nullptr ? 0.0 : *feed.value());
    const std::vector<Fact> facts = {days_fact("days", days), {"from", civil(asked.after_days(days))}};
    Outcome found = say(State::pass, "judge.feed.clear", facts);
    for (const Moment& m : asked.p.feedings) {
      if (!asked.follows(m)) continue;
      const State state = asked.against_days(m, days);
      if (badness(state) > badness(found.state))
        found = say(state, state == State::refused ? "judge.feed.too_soon" : "judge.feed.not_before", facts);
    }
    return found;
  });
}

Answered plant_back_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) -> Answered {
    const auto* stated = asked.use(i).plant_back.value();
    if (stated == nullptr) return std::nullopt;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
      return outcome_of(Rule::plant_back, state, field_of(i, "plant_back"), std::move(code), std::move(facts));
    };
    const Date day = asked.p.on.time.date;
    Outcome found = say(State::pass, "judge.plant_back.none_planned");
    for (const Sowing& next : asked.p.sowings) {
      if (next.on < day) continue;
      const auto named = [&](std::string_view crop) {
        return std::find_if(stated->begin(), stated->end(), [&](const PlantBack& b) { return b.crop == crop; });
      };
      auto wait = named(next.crop);
      if (wait == stated->end()) wait = named("");
      if (wait == stated->end()) continue;
      const Date from = day + Days{static_cast<int>(std::ceil(wait->days))};
      const bool too_soon = next.on < from;
      found = say(too_soon ? State::refused : State::pass, too_soon ? "judge.plant_back.too_soon" : "judge.plant_back.clear",
                  {{"crop", Term{"crop." + next.crop}}, days_fact("days", wait->days), {"from", from}, {"sowing", next.on}});
      if (too_soon) break;
    }
    return found;
  });
}

}  // namespace leafturn::label
