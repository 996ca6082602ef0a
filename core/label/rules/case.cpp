#include "core/label/rules/case.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::label {
namespace {

constexpr std::string_view group_mark = "group:";

/// `4-16` holds its subgroups `4-16A`, `4-16B`; `5` does not hold `5-16`, which is another edition.
bool group_holds(std::string_view card_group, std::string_view crop_group) {
  if (!crop_group.starts_with(card_group)) return false;
  return std::all_of(crop_group.begin() + static_cast<std::ptrdiff_t>(card_group.size()), crop_group.end(),
                     [](char c) { return c >= 'A' && c <= 'Z'; });
}

}  // namespace

std::int64_t seconds(const CivilTime& t) { return t.date.serial() * day_seconds + t.second_of_day; }
std::int64_t seconds(Date d) { return d.serial() * day_seconds; }

CivilTime civil(std::int64_t s) {
  std::int64_t day = s / day_seconds;
  if (s % day_seconds < 0) --day;
  return {Date::from_serial(static_cast<std::int32_t>(day)), static_cast<std::int32_t>(s - day * day_seconds)};
}

std::int64_t span_seconds(double hours) { return static_cast<std::int64_t>(std::ceil(hours * 3600.0)); }

std::int64_t earliest(const Moment& m) { return m.day_only ? seconds(m.time.date) : seconds(m.time); }
std::int64_t latest(const Moment& m) { return m.day_only ? seconds(m.time.date) + day_seconds - 1 : seconds(m.time); }

int badness(State state) {
  switch (state) {
    case State::refused:
      return 3;
    case State::unknown:
      return 2;
    case State::conditional:
      return 1;
    case State::pass:
      return 0;
  }
  return 2;
}

std::string field_of_card(std::string_view name) { return "card." + std::string(name); }
std::string field_of(std::size_t use, std::string_view name) { return "use[" + std::to_string(use + 1) + "]." + std::string(name); }

Fact days_fact(std::string_view name, double days) { return {std::string(name), Number{days, days > std::floor(days) ? 1 : 0}}; }

bool same_name(std::string_view a, std::string_view b) {
  const auto trim = [](std::string_view s) {
    while (!s.empty() && s.front() == ' ') s.remove_prefix(1);
    while (!s.empty() && s.back() == ' ') s.remove_suffix(1);
    return s;
  };
  const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
  a = trim(a);
  b = trim(b);
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [&](char x, char y) { return lower(x) == lower(y); });
}

std::int64_t Case::after(std::int64_t wait) const {
  const std::int64_t on_the_wall = seconds(p.on.time) + wait;
  if (p.zone == nullptr) return on_the_wall;
  const Instant passed = p.zone->instant(p.on.time) + Duration{wait * 1'000'000};
  return std::max(on_the_wall, seconds(p.zone->civil(passed)));
}

std::int64_t Case::after_days(double days) const {
  if (p.on.day_only) return seconds(p.on.time.date) + static_cast<std::int64_t>(std::ceil(days)) * day_seconds;
  return after(span_seconds(days * 24.0));
}

State Case::against_days(const Moment& m, double days) const {
  const std::int64_t from = after_days(days);
  if (!(days > 0.0) || earliest(m) >= from) return State::pass;
  if (p.on.day_only) return m.time.date >= civil(from).date ? State::pass : State::refused;
  return latest(m) >= from ? State::conditional : State::refused;
}

Outcome outcome_of(Rule rule, State state, std::string field, std::string code, std::vector<Fact> facts) {
  return {rule, state, std::move(field), 0, {std::move(code), std::move(facts)}, {}};
}

Listed listed(const Use& use, const std::string& crop_code, const pest::Library& library) {
  if (std::find(use.except.begin(), use.except.end(), crop_code) != use.except.end()) return {Listing::excepted, {}, {}};
  if (std::find(use.crops.begin(), use.crops.end(), crop_code) != use.crops.end()) return {Listing::by_name, {}, {}};
  const pest::Crop* crop = library.crop(crop_code);
  Listed best;
  for (const std::string& name : use.crops) {
    if (!name.starts_with(group_mark)) continue;
    const std::string group = name.substr(group_mark.size());
    const bool group_known = std::any_of(library.crops.begin(), library.crops.end(), [&](const pest::Crop& c) {
      return std::any_of(c.label_groups.begin(), c.label_groups.end(), [&](const auto& m) { return group_holds(group, m.group); });
    });
    if (crop == nullptr || !group_known) {
      if (best.how == Listing::no) best = {Listing::cannot_say, group, {}};
      continue;
    }
    for (const auto& member : crop->label_groups) {
      if (!group_holds(group, member.group)) continue;
      if (member.source.known == pest::Known::seen) return {Listing::by_known_group, group, {}};
      best = {Listing::by_unsure_group, group, std::string(pest::word_for(member.source.known))};
    }
  }
  return best;
}

bool covers(const Listed& listed) {
  return listed.how == Listing::by_name || listed.how == Listing::by_known_group || listed.how == Listing::by_unsure_group;
}

}  // namespace leafturn::label
