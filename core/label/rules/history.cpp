#include <algorithm>
#include <cmath>
#include <set>

#include "core/label/mode_group.hpp"
#include "core/label/rules/rules.hpp"

namespace leafturn::label {

Answered interval_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) {
    const auto& stated = asked.use(i).interval_days;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
      return outcome_of(Rule::interval, state, field_of(i, "interval_days"), std::move(code), std::move(facts));
    };
    if (!stated.is_copied()) return say(State::unknown, "judge.interval.not_copied");
    if (stated.says_none()) return say(State::pass, "judge.interval.none_stated");
    const double days = *stated.value();
    const Fact fact = days_fact("days", days);
    if (!asked.p.history) return say(State::unknown, "judge.interval.no_history", {fact});
    // Both ways: an application already entered for a later day must keep its distance too.
    for (const Past& past : *asked.p.history) {
      if (!same_name(past.product, asked.card.product)) continue;
      const int apart = std::abs((asked.p.on.time.date - past.on).count);
      if (apart < days)
        return say(
            State::refused, "judge.interval.too_soon",
            {fact, {"other", past.on}, {"apart", std::int64_t{apart}}, {"clear", past.on + Days{static_cast<int>(std::ceil(days))}}});
    }
    return say(State::pass, "judge.interval.kept", {fact});
  });
}

Answered max_applications_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) {
    const auto& stated = asked.use(i).max_applications;
    const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
      return outcome_of(Rule::max_applications, state, field_of(i, "max_applications"), std::move(code), std::move(facts));
    };
    if (!stated.is_copied()) return say(State::unknown, "judge.max_applications.not_copied");
    if (stated.says_none()) return say(State::pass, "judge.max_applications.none_stated");
    const std::int64_t most = *stated.value();
    if (!asked.p.history) return say(State::unknown, "judge.max_applications.no_history", {{"most", most}});
    std::int64_t this_year = 0;
    std::int64_t all = 0;
    for (const Past& past : *asked.p.history) {
      if (!same_name(past.product, asked.card.product)) continue;
      ++all;
      if (past.on.year() == asked.p.on.time.date.year()) ++this_year;
    }
    const std::vector<Fact> facts = {{"most", most}, {"done", this_year}, {"all", all}};
    if (this_year + 1 > most) return say(State::refused, "judge.max_applications.reached", facts);
    if (all + 1 > most) return say(State::conditional, "judge.max_applications.over_year_end", facts);
    return say(State::pass, "judge.max_applications.within", facts);
  });
}

namespace {

const std::vector<Active>& actives_of(const Past& past, const Card& card) {
  return past.actives.empty() && same_name(past.product, card.product) ? card.actives : past.actives;
}

std::string groups_text(const std::vector<std::string>& groups) {
  std::string text;
  for (const std::string& g : std::set<std::string>(groups.begin(), groups.end())) text += (text.empty() ? "" : ", ") + g;
  return text;
}

/// Applications up to the proposed one's day, latest first.
std::vector<const Past*> latest_first(const Case& asked) {
  std::vector<const Past*> past;
  for (const Past& p : *asked.p.history)
    if (p.on <= asked.p.on.time.date) past.push_back(&p);
  std::stable_sort(past.begin(), past.end(), [](const Past* a, const Past* b) { return a->on > b->on; });
  return past;
}

}  // namespace

Answered consecutive_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) -> Answered {
    const int* most = asked.use(i).max_consecutive.value();
    if (most == nullptr) return std::nullopt;
    const auto groups = counted_groups(asked.card.actives);
    const auto say = [&](State state, std::string code) {
      return outcome_of(Rule::consecutive, state, field_of(i, "max_consecutive"), std::move(code),
                        {{"most", std::int64_t{*most}}, {"group", groups_text(groups)}});
    };
    if (groups.empty())
      return group_unknown(asked.card.actives) ? say(State::unknown, "judge.consecutive.no_group")
                                               : say(State::pass, "judge.consecutive.not_counted");
    if (!asked.p.history) return say(State::unknown, "judge.consecutive.no_history");
    int run = 0;
    bool broken = false;
    for (const Past* past : latest_first(asked)) {
      const auto& actives = actives_of(*past, asked.card);
      if (share_a_group(groups, counted_groups(actives))) {
        ++run;
      } else {
        broken = group_unknown(actives);
        break;
      }
    }
    if (run + 1 > *most) return say(State::refused, "judge.consecutive.reached");
    if (broken) return say(State::unknown, "judge.consecutive.past_unknown");
    return say(State::pass, "judge.consecutive.within");
  });
}

namespace {

/// Generations of the pest, or, where their days aren't known, windows of a generation's length counted back from the proposed day.
int generation_of(const Case& asked, Date day) {
  if (!asked.p.generations.empty())
    return static_cast<int>(std::count_if(asked.p.generations.begin(), asked.p.generations.end(), [&](Date d) { return d <= day; }));
  return -static_cast<int>(std::floor((asked.p.on.time.date - day).count / asked.p.generation_days));
}

}  // namespace

Answered rotation_rule(const Case& asked) {
  const auto groups = counted_groups(asked.card.actives);
  if (!asked.p.history || groups.empty()) return std::nullopt;
  const int now = generation_of(asked, asked.p.on.time.date);
  std::set<int> used{now};
  std::optional<Date> met;
  bool any = false;
  for (const Past* past : latest_first(asked)) {
    if (!share_a_group(groups, counted_groups(actives_of(*past, asked.card)))) continue;
    any = true;
    const int then = generation_of(asked, past->on);
    if (!asked.p.crop_since || past->on >= *asked.p.crop_since) used.insert(then);
    if (then == now - 1 && !met) met = past->on;
  }
  if (!any) return std::nullopt;
  const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
    facts.push_back({"group", groups_text(groups)});
    return outcome_of(Rule::rotation, state, "active", std::move(code), std::move(facts));
  };
  if (met) return say(State::conditional, "judge.rotation.next_generation", {{"other", *met}});
  // Half of the crop's life, from the brassica strategy against diamondback moth (S130).
  constexpr double most_share = 0.5;
  const double share = asked.p.cycle_days ? static_cast<double>(used.size()) * asked.p.generation_days / *asked.p.cycle_days : 0.0;
  if (share > most_share) return say(State::conditional, "judge.rotation.half_the_crop", {{"share", Share{std::min(share, 1.0)}}});
  return say(State::pass, "judge.rotation.kept");
}

namespace {

bool holds(std::string_view name, std::string_view part) {
  const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
  return std::search(name.begin(), name.end(), part.begin(), part.end(), [&](char a, char b) { return lower(a) == b; }) != name.end();
}
bool is_oil(const std::vector<Active>& actives) {
  return std::any_of(actives.begin(), actives.end(), [](const Active& a) { return holds(a.name, "oil"); });
}
bool is_sulfur(const std::vector<Active>& actives) {
  return std::any_of(actives.begin(), actives.end(), [](const Active& a) { return holds(a.name, "sulfur") || holds(a.name, "sulphur"); });
}

}  // namespace

Answered oil_sulfur_rule(const Case& asked) {
  const bool oil = is_oil(asked.card.actives);
  const bool sulfur = is_sulfur(asked.card.actives);
  if (!asked.p.history || (!oil && !sulfur)) return std::nullopt;
  std::optional<Date> nearest;
  const auto apart = [&](Date d) { return std::abs((asked.p.on.time.date - d).count); };
  for (const Past& past : *asked.p.history) {
    const auto& actives = actives_of(past, asked.card);
    if (!((oil && is_sulfur(actives)) || (sulfur && is_oil(actives)))) continue;
    if (!nearest || apart(past.on) < apart(*nearest)) nearest = past.on;
  }
  if (!nearest) return std::nullopt;
  const double* stated = asked.card.conditions.oil_sulfur_days.value();
  // Two to four weeks apart (Washington State University, S143): the longer, where the label gives no days of its own.
  constexpr double usual = 28.0;
  const double days = stated != nullptr ? *stated : usual;
  const std::vector<Fact> facts = {days_fact("days", days),
                                   {"other", *nearest},
                                   {"apart", std::int64_t{apart(*nearest)}},
                                   {"clear", *nearest + Days{static_cast<int>(std::ceil(days))}}};
  const auto say = [&](State state, std::string code) {
    return outcome_of(Rule::oil_sulfur, state, stated != nullptr ? "conditions.oil_sulfur_days" : "active", std::move(code), facts);
  };
  if (apart(*nearest) >= days) return say(State::pass, "judge.oil_sulfur.apart");
  return stated != nullptr ? say(State::refused, "judge.oil_sulfur.too_close") : say(State::conditional, "judge.oil_sulfur.close");
}

}  // namespace leafturn::label
