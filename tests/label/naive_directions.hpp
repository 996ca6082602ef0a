#pragma once
/// The first half of naive.hpp's table: what is treated, how much, and how long to wait.

#include <cmath>
#include <set>

#include "tests/label/naive.hpp"

namespace leafturn::label::naive {

inline constexpr Minutes day = 1440;
inline const std::string mark = "group:";

inline bool in_group(const std::string& group, const std::string& member) {
  if (group == member) return true;
  return member.size() == group.size() + 1 && member.substr(0, group.size()) == group && member.back() >= 'A' && member.back() <= 'Z';
}

inline bool yes(const Stated<bool>& stated) { return stated.value() && *stated.value(); }

inline std::string folded(std::string text) {
  while (!text.empty() && text.back() == ' ') text.pop_back();
  while (!text.empty() && text.front() == ' ') text.erase(0, 1);
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

enum class Cover { none, excepted, unclear, unsure, sure };

/// How a block covers a crop, going through the library each time.
inline Cover covers(const Use& u, const std::string& crop, const pest::Library& library) {
  for (const auto& e : u.except)
    if (e == crop) return Cover::excepted;
  Cover best = Cover::none;
  bool in_library = false;
  for (const auto& c : library.crops) in_library = in_library || c.eppo == crop;
  for (const auto& entry : u.crops) {
    if (entry == crop) return Cover::sure;
    if (entry.rfind(mark, 0) != 0) continue;
    const std::string group = entry.substr(mark.size());
    bool known = false;
    for (const auto& c : library.crops)
      for (const auto& g : c.label_groups) known = known || in_group(group, g.group);
    if (!known || !in_library) {
      best = std::max(best, Cover::unclear);
      continue;
    }
    for (const auto& c : library.crops)
      for (const auto& g : c.label_groups)
        if (c.eppo == crop && in_group(group, g.group))
          best = std::max(best, g.source.known == pest::Known::seen ? Cover::sure : Cover::unsure);
  }
  return best;
}

/// The number in front of a group of the mode of action; 0 where it doesn't count.
inline int group_number(const std::string& group) { return group.empty() || group[0] < '0' || group[0] > '9' ? 0 : std::stoi(group); }

inline std::set<int> numbers(const std::vector<Active>& actives) {
  std::set<int> out;
  for (const auto& a : actives)
    if (group_number(a.mode_of_action) != 0) out.insert(group_number(a.mode_of_action));
  return out;
}
inline bool some_unknown(const std::vector<Active>& actives) {
  if (actives.empty()) return true;
  for (const auto& a : actives)
    if (a.mode_of_action.empty()) return true;
  return false;
}
inline bool overlap(const std::set<int>& a, const std::set<int>& b) {
  for (const int n : a)
    if (b.count(n)) return true;
  return false;
}

inline bool contains_word(const std::vector<Active>& actives, const std::string& word) {
  for (const auto& a : actives)
    if (folded(a.name).find(word) != std::string::npos) return true;
  return false;
}

struct Directions {
  const Card& card;
  const Proposal& p;
  const pest::Library& library;
  const std::string& mutant;
  Verdicts v{};
  std::vector<const Use*> blocks{};

  bool spoiled(const char* name) const { return mutant == name; }
  void add(Rule r, State s) { v.rules[r] = v.rules.count(r) ? worse(v.rules[r], s) : s; }

  Minutes start() const { return p.on.day_only ? p.on.time.date.serial() * day : minutes(p.on.time); }
  int on_day() const { return p.on.time.date.serial(); }
  bool at_or_after(const Moment& m) const {
    return m.day_only || p.on.day_only ? m.time.date >= p.on.time.date : minutes(m.time) >= minutes(p.on.time);
  }
  const std::vector<Active>& actives_of(const Past& past) const {
    return past.actives.empty() && folded(past.product) == folded(card.product) ? card.actives : past.actives;
  }

  void crop() {
    bool sure = false, unsure = false, unclear = false;
    for (const Use& u : card.uses) {
      const Cover c = covers(u, p.crop, library);
      if (c == Cover::sure || c == Cover::unsure) blocks.push_back(&u);
      sure = sure || c == Cover::sure;
      unsure = unsure || c == Cover::unsure;
      unclear = unclear || c == Cover::unclear;
    }
    if (spoiled("crop.unclear_passes")) unclear = false;
    if (sure && !unclear)
      add(Rule::crop, State::pass);
    else if (sure || unsure)
      add(Rule::crop, spoiled("crop.unsure_passes") ? State::pass : State::conditional);
    else if (unclear || card.uses.empty())
      add(Rule::crop, State::unknown);
    else
      add(Rule::crop, State::refused);
  }

  void method() {
    if (!p.method || blocks.empty()) return;
    std::vector<const Use*> left;
    for (const Use* u : blocks)
      if (!u->method.value() || *u->method.value() == *p.method) left.push_back(u);
    if (left.size() == blocks.size()) return;
    add(Rule::method, left.empty() ? State::refused : State::pass);
    if (!spoiled("method.keeps_all")) blocks = left;
  }

  void pest() {
    if (p.pest.empty()) return;
    bool speaks = false, named = false;
    for (const Use* u : blocks) {
      if (!u->pests.value()) continue;
      speaks = true;
      for (const auto& d : *u->pests.value()) named = named || d.pest == p.pest;
    }
    if (!speaks) return;
    if (named)
      add(Rule::pest, State::pass);
    else if (p.jurisdiction && p.jurisdiction->rfind("US", 0) == 0)
      add(Rule::pest, spoiled("pest.us_refuses") ? State::refused : State::conditional);
    else if (!p.jurisdiction || p.jurisdiction->empty())
      add(Rule::pest, State::unknown);
    else
      add(Rule::pest, spoiled("pest.elsewhere_conditional") ? State::conditional : State::refused);
  }

  void rate() {
    for (const Use* u : blocks) {
      std::optional<ProductRate> low, high;
      bool low_copied = u->rate_min.is_copied(), high_copied = u->rate_max.is_copied();
      if (u->rate_min.value()) low = *u->rate_min.value();
      if (u->rate_max.value()) high = *u->rate_max.value();
      if (!p.pest.empty() && u->pests.value() && !spoiled("rate.pest_ignored"))
        for (const auto& d : *u->pests.value())
          if (d.pest == p.pest) {
            if (d.rate_min) low = d.rate_min, low_copied = true;
            if (d.rate_max) high = d.rate_max, high_copied = true;
          }
      const double over = spoiled("rate.one_per_cent_more") ? 1.01 : 1 + 1e-9;
      if (p.rate && high && high->basis == p.rate->basis &&
          (spoiled("rate.highest_itself") ? p.rate->value >= high->value : p.rate->value > high->value * over))
        add(Rule::rate, State::refused);
      else if (!high_copied || !low_copied || !p.rate || (high && high->basis != p.rate->basis) || (low && low->basis != p.rate->basis))
        add(Rule::rate, State::unknown);
      else if (!high || (low && p.rate->value < low->value * (1 - 1e-9)))
        add(Rule::rate, spoiled("rate.below_passes") ? State::pass : State::conditional);
      else
        add(Rule::rate, State::pass);
    }
  }

  void water() {
    for (const Use* u : blocks) {
      const double *low = u->water_min.value(), *high = u->water_max.value();
      if (!low && !high) continue;
      if (!p.water)
        add(Rule::water, State::conditional);
      else if ((low && *p.water < *low * (1 - 1e-9)) || (high && *p.water > *high * (1 + 1e-9)))
        add(Rule::water, State::refused);
      else
        add(Rule::water, spoiled("water.at_the_end") && ((low && std::abs(*p.water - *low) < 1e-12)) ? State::refused : State::pass);
    }
  }

  /// Product per area; negative where it isn't known.
  static double per_area(const std::optional<ProductRate>& rate, const std::optional<double>& spray, bool weight) {
    if (!rate) return -1;
    using B = ProductRate::Basis;
    if ((rate->basis == B::mass_per_area || rate->basis == B::mass_per_volume) != weight) return -1;
    if (rate->basis == B::volume_per_area || rate->basis == B::mass_per_area) return rate->value;
    return spray ? rate->value * *spray : -1;
  }
  /// Active per area, g/m²; negative where it isn't known. Contents here are `120 g/L` and `25 %`.
  static double active_per_area(const std::optional<ProductRate>& rate, const std::optional<double>& spray, const std::string& content) {
    const bool litre = content.find("g/L") != std::string::npos, percent = content.find('%') != std::string::npos;
    if (!litre && !percent) return -1;
    const double amount = per_area(rate, spray, percent);
    if (amount < 0) return -1;
    return amount * std::atof(content.c_str()) / (percent ? 100 : 1);
  }
  bool in_scope(Scope scope, Date on) const {
    if (scope == Scope::crop) return !p.crop_since || on >= *p.crop_since;
    return spoiled("amount.all_years") || on.year() == p.on.time.date.year();
  }
  State limited(const AmountLimit& limit, double mine, const std::vector<double>& others) const {
    double sum = 0;
    bool whole = true;
    const auto take = [&](double a) { a < 0 ? void(whole = false) : void(sum += a); };
    take(mine);
    if (limit.scope == Scope::application) {
      if (!whole) return State::unknown;
    } else {
      for (const double a : others) take(a);
    }
    const double most = limit.amount.value;
    if (spoiled("amount.reaching_it") ? sum >= most * (1 - 1e-9) : sum > most * (1 + 1e-9)) return State::refused;
    if (limit.scope != Scope::application && !p.history) return State::unknown;
    return whole ? State::pass : State::unknown;
  }
  void amount() {
    for (const Use* u : blocks) {
      if (const auto* limit = u->max_product.value()) {
        const bool weight = limit->amount.basis == ProductRate::Basis::mass_per_area;
        std::vector<double> others;
        if (p.history)
          for (const Past& past : *p.history)
            if (folded(past.product) == folded(card.product) && in_scope(limit->scope, past.on))
              others.push_back(per_area(past.rate, past.water, weight));
        add(Rule::amount, limited(*limit, per_area(p.rate, p.water, weight), others));
      }
      if (const auto* limit = u->max_active.value()) {
        if (card.actives.empty() || limit->amount.basis != ProductRate::Basis::mass_per_area) add(Rule::amount, State::unknown);
        if (limit->amount.basis != ProductRate::Basis::mass_per_area) continue;
        for (const Active& mine : card.actives) {
          std::vector<double> others;
          if (p.history)
            for (const Past& past : *p.history) {
              if (!in_scope(limit->scope, past.on)) continue;
              if (spoiled("amount.own_product_only") && folded(past.product) != folded(card.product)) continue;
              if (actives_of(past).empty()) others.push_back(-1);
              for (const Active& a : actives_of(past))
                if (folded(a.name) == folded(mine.name)) others.push_back(active_per_area(past.rate, past.water, a.content));
            }
          add(Rule::amount, limited(*limit, active_per_area(p.rate, p.water, mine.content), others));
        }
      }
    }
  }

  Minutes free_from(double days) const { return p.on.day_only ? start() + std::ceil(days) * day : start() + days * day; }
  /// A planned moment against days that must have passed.
  State against(const Moment& m, double days) const {
    if (days <= 0) return State::pass;
    if (p.on.day_only) return m.time.date.serial() - on_day() >= days ? State::pass : State::refused;
    const Minutes from = free_from(days);
    if (!m.day_only) return minutes(m.time) >= from ? State::pass : State::refused;
    if (m.time.date.serial() * day >= from) return State::pass;
    return (m.time.date.serial() + 1) * day > from ? State::conditional : State::refused;
  }

  bool harvest_known = true, until_dry = false, hours_known = false;
  Minutes harvest = 0, entry = 0;

  void pre_harvest() {
    harvest = start();
    for (const Use* u : blocks) {
      if (!u->pre_harvest_days.is_copied()) {
        add(Rule::pre_harvest, State::unknown);
        harvest_known = false;
      } else if (u->pre_harvest_days.says_none()) {
        add(Rule::pre_harvest, State::conditional);
      } else {
        const double days = *u->pre_harvest_days.value() - (spoiled("pre_harvest.day_less") ? 1 : 0);
        harvest = std::max(harvest, free_from(days));
        add(Rule::pre_harvest, State::pass);
        for (const Moment& h : p.harvests)
          if (at_or_after(h)) add(Rule::pre_harvest, against(h, days));
      }
    }
  }

  /// A moment against the hours: `pass` when clear of them.
  State against_hours(const Moment& m, double hours) const {
    const Minutes soonest = start() + hours * 60;
    const Minutes sure = p.on.day_only ? soonest + day : soonest;
    const Minutes from = m.day_only ? m.time.date.serial() * day : minutes(m.time);
    const Minutes to = m.day_only ? from + day - 1.0 / 60 : from;
    if (from >= sure) return State::pass;
    return to < soonest ? State::refused : State::conditional;
  }
  void reentry() {
    entry = start();
    for (const Use* u : blocks) {
      if (!u->reentry.is_copied()) {
        add(Rule::reentry, State::unknown);
        harvest_known = false;
        continue;
      }
      if (u->reentry.says_none() || u->reentry.value()->until_dry) {
        add(Rule::reentry, State::conditional);
        until_dry = true;
        continue;
      }
      const double hours = u->reentry.value()->hours - (spoiled("reentry.hour_less") ? 1 : 0);
      hours_known = true;
      entry = std::max(entry, start() + (p.on.day_only ? day : 0) + hours * 60);
      add(Rule::reentry, State::pass);
      for (const Moment& h : p.harvests)
        if (at_or_after(h)) add(Rule::reentry, against_hours(h, hours));
    }
  }
  void work() {
    for (const Moment& m : p.work)
      if (at_or_after(m))
        for (const Use* u : blocks) {
          if (!u->reentry.is_copied())
            add(Rule::work, State::unknown);
          else if (u->reentry.says_none() || u->reentry.value()->until_dry)
            add(Rule::work, State::conditional);
          else
            add(Rule::work, against_hours(m, u->reentry.value()->hours - (spoiled("work.hour_less") ? 1 : 0)));
        }
  }
  void feed() {
    for (const Moment& m : p.feedings)
      if (at_or_after(m))
        for (const Use* u : blocks) {
          if (!u->pre_harvest_days.is_copied()) {
            add(Rule::feed, State::unknown);
          } else if (u->pre_harvest_days.says_none() && !u->feed_days.value()) {
            add(Rule::feed, State::conditional);
          } else {
            double days = u->pre_harvest_days.value() ? *u->pre_harvest_days.value() : 0;
            if (u->feed_days.value() && !spoiled("feed.own_days_ignored")) days = std::max(days, *u->feed_days.value());
            add(Rule::feed, against(m, days));
          }
        }
  }
};

}  // namespace leafturn::label::naive
