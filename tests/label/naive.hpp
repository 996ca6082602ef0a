#pragma once
/// The table of docs/card.md, 'What the rules answer', written down a second time as plainly as can be: one function per rule that goes
/// through the table's columns from left to right in minutes since 1970, without reasons, fields or lines. It shares no code with
/// core/label/judge.cpp.

#include <cmath>
#include <map>
#include <set>

#include "core/label/judge.hpp"

namespace leafturn::label::naive {

using Minutes = double;
constexpr Minutes day = 1440;

inline Minutes minutes(const CivilTime& t) { return t.date.serial() * day + t.second_of_day / 60.0; }

struct Verdicts {
  std::map<Rule, State> rules;
  Verdict verdict = Verdict::unknown;
  std::optional<Minutes> earliest_harvest, reentry;
};

inline State worse(State a, State b) {
  for (const State s : {State::refused, State::unknown, State::conditional})
    if (a == s || b == s) return s;
  return State::pass;
}

inline bool in_group(const std::string& group, const std::string& member) {
  if (group == member) return true;
  return member.size() == group.size() + 1 && member.substr(0, group.size()) == group && member.back() >= 'A' && member.back() <= 'Z';
}

inline Verdicts judge(const Card& card, const Proposal& p, const pest::Library& library) {
  Verdicts v;
  const std::string mark = "group:";

  // crop
  std::set<std::string> known_groups;
  std::map<std::string, bool> my_groups;  // group -> read at its source
  bool in_library = false;
  for (const auto& c : library.crops) {
    if (c.eppo == p.crop) in_library = true;
    for (const auto& g : c.label_groups) {
      known_groups.insert(g.group);
      if (c.eppo == p.crop) my_groups[g.group] = g.source.known == pest::Known::seen;
    }
  }
  std::vector<const Use*> covering;
  bool sure = false, unsure = false, cannot_say = false;
  for (const Use& u : card.uses) {
    bool excepted = false;
    for (const auto& e : u.except) excepted = excepted || e == p.crop;
    if (excepted) continue;
    bool here_sure = false, here_unsure = false, here_cannot = false;
    for (const auto& entry : u.crops) {
      if (entry == p.crop) here_sure = true;
      if (entry.rfind(mark, 0) != 0) continue;
      const std::string group = entry.substr(mark.size());
      bool known = false;
      for (const auto& k : known_groups) known = known || in_group(group, k);
      if (!known || !in_library) {
        here_cannot = true;
        continue;
      }
      for (const auto& [mine, seen] : my_groups)
        if (in_group(group, mine)) (seen ? here_sure : here_unsure) = true;
    }
    if (here_sure || here_unsure) covering.push_back(&u);
    sure = sure || here_sure;
    unsure = unsure || (here_unsure && !here_sure);
    cannot_say = cannot_say || (here_cannot && !here_sure && !here_unsure);
  }
  State& crop = v.rules[Rule::crop];
  if (sure && !cannot_say)
    crop = State::pass;
  else if (sure || unsure)
    crop = State::conditional;
  else if (cannot_say || card.uses.empty())
    crop = State::unknown;
  else
    crop = State::refused;

  // the five rules of the directions
  const Minutes on_first = p.on.day_only ? p.on.time.date.serial() * day : minutes(p.on.time);
  std::vector<Moment> harvests;
  for (const Moment& h : p.harvests) {
    const bool before = h.day_only || p.on.day_only ? h.time.date < p.on.time.date : minutes(h.time) < minutes(p.on.time);
    if (!before) harvests.push_back(h);
  }
  const auto add = [&](Rule r, State s) { v.rules[r] = v.rules.count(r) ? worse(v.rules[r], s) : s; };
  bool harvest_known = !covering.empty(), until_dry = false, hours_known = false;
  Minutes harvest = on_first, entry = on_first;
  int mine_this_year = 0, mine = 0;
  double closest = 1e9;
  if (p.history)
    for (const Past& past : *p.history)
      if (past.product == card.product) {
        ++mine;
        if (past.on.year() == p.on.time.date.year()) ++mine_this_year;
        closest = std::min(closest, std::abs(double(past.on.serial()) - double(p.on.time.date.serial())));
      }

  for (const Use* u : covering) {
    // rate
    const auto *low = u->rate_min.value(), *high = u->rate_max.value();
    if (p.rate && high && high->basis == p.rate->basis && p.rate->value > high->value * (1 + 1e-9))
      add(Rule::rate, State::refused);
    else if (!u->rate_max.is_copied() || !u->rate_min.is_copied() || !p.rate || (high && high->basis != p.rate->basis) ||
             (low && low->basis != p.rate->basis))
      add(Rule::rate, State::unknown);
    else if (!high || (low && p.rate->value < low->value * (1 - 1e-9)))
      add(Rule::rate, State::conditional);
    else
      add(Rule::rate, State::pass);

    // days before harvest
    if (!u->pre_harvest_days.is_copied()) {
      add(Rule::pre_harvest, State::unknown);
      harvest_known = false;
    } else if (u->pre_harvest_days.says_none()) {
      add(Rule::pre_harvest, State::conditional);
    } else {
      const double days = *u->pre_harvest_days.value();
      const Minutes free = p.on.day_only ? on_first + std::ceil(days) * day : on_first + days * day;
      harvest = std::max(harvest, free);
      add(Rule::pre_harvest, State::pass);
      for (const Moment& h : harvests) {
        if (days <= 0) continue;
        if (p.on.day_only)
          add(Rule::pre_harvest, h.time.date.serial() - p.on.time.date.serial() >= days ? State::pass : State::refused);
        else if (!h.day_only)
          add(Rule::pre_harvest, minutes(h.time) >= free ? State::pass : State::refused);
        else if (h.time.date.serial() * day >= free)
          add(Rule::pre_harvest, State::pass);
        else
          add(Rule::pre_harvest, (h.time.date.serial() + 1) * day > free ? State::conditional : State::refused);
      }
    }

    // re-entry
    if (!u->reentry.is_copied()) {
      add(Rule::reentry, State::unknown);
      harvest_known = false;
    } else if (u->reentry.says_none() || u->reentry.value()->until_dry) {
      add(Rule::reentry, State::conditional);
      until_dry = true;
    } else {
      const Minutes wait = u->reentry.value()->hours * 60;
      const Minutes soonest = on_first + wait;
      const Minutes sure_end = p.on.day_only ? on_first + day + wait : soonest;
      hours_known = true;
      entry = std::max(entry, sure_end);
      add(Rule::reentry, State::pass);
      for (const Moment& h : harvests) {
        const Minutes from = h.day_only ? h.time.date.serial() * day : minutes(h.time);
        const Minutes to = h.day_only ? from + day - 1.0 / 60 : from;
        if (from >= sure_end) continue;
        add(Rule::reentry, to < soonest ? State::refused : State::conditional);
      }
    }

    // interval
    if (!u->interval_days.is_copied())
      add(Rule::interval, State::unknown);
    else if (u->interval_days.says_none())
      add(Rule::interval, State::pass);
    else if (!p.history)
      add(Rule::interval, State::unknown);
    else
      add(Rule::interval, closest < *u->interval_days.value() ? State::refused : State::pass);

    // number of applications
    if (!u->max_applications.is_copied())
      add(Rule::max_applications, State::unknown);
    else if (u->max_applications.says_none())
      add(Rule::max_applications, State::pass);
    else if (!p.history)
      add(Rule::max_applications, State::unknown);
    else if (mine_this_year + 1 > *u->max_applications.value())
      add(Rule::max_applications, State::refused);
    else
      add(Rule::max_applications, mine + 1 > *u->max_applications.value() ? State::conditional : State::pass);
  }
  if (covering.empty())
    for (const Rule r : {Rule::rate, Rule::pre_harvest, Rule::reentry, Rule::interval, Rule::max_applications}) add(r, State::unknown);

  // setting
  if (!card.setting.is_copied())
    add(Rule::setting, State::unknown);
  else if (card.setting.says_none())
    add(Rule::setting, State::conditional);
  else if (*card.setting.value() == CardSetting::both)
    add(Rule::setting, State::pass);
  else if (!p.setting)
    add(Rule::setting, State::unknown);
  else
    add(Rule::setting,
        (*card.setting.value() == CardSetting::residential) == (*p.setting == garden::Setting::residential) ? State::pass : State::refused);

  // the rest
  if (card.registration.empty() || card.actives.empty() || card.copied_by.empty() || !card.copied_on || !card.others.empty() ||
      p.on.time.date.serial() - card.copied_on->serial() > 365)
    add(Rule::other, State::conditional);

  State all = State::pass;
  for (const auto& [rule, state] : v.rules) all = worse(all, state);
  v.verdict = all == State::refused       ? Verdict::refused
              : all == State::unknown     ? Verdict::unknown
              : all == State::conditional ? Verdict::conditional
                                          : Verdict::allowed;

  if (harvest_known && !(until_dry && std::floor(harvest / day) <= p.on.time.date.serial()))
    v.earliest_harvest = std::max(harvest, hours_known ? entry : harvest);
  bool entry_known = !covering.empty() && hours_known;
  for (const Use* u : covering) entry_known = entry_known && u->reentry.is_copied();
  if (entry_known) v.reentry = entry;
  return v;
}

}  // namespace leafturn::label::naive
