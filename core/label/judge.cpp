#include "core/label/judge.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::label {
namespace {

constexpr std::int64_t day_seconds = 86'400;

/// Civil seconds since 1970, so that civil spans are plain sums.
std::int64_t seconds(const CivilTime& t) { return t.date.serial() * day_seconds + t.second_of_day; }
std::int64_t seconds(Date d) { return d.serial() * day_seconds; }

CivilTime civil(std::int64_t s) {
  std::int64_t day = s / day_seconds;
  if (s % day_seconds < 0) --day;
  return {Date::from_serial(static_cast<std::int32_t>(day)), static_cast<std::int32_t>(s - day * day_seconds)};
}

/// Up to whole seconds: a fraction is never rounded in the applicator's favour.
std::int64_t span_seconds(double hours) { return static_cast<std::int64_t>(std::ceil(hours * 3600.0)); }

/// The first and the last second a moment can mean.
std::int64_t earliest(const Moment& m) { return m.day_only ? seconds(m.time.date) : seconds(m.time); }
std::int64_t latest(const Moment& m) { return m.day_only ? seconds(m.time.date) + day_seconds - 1 : seconds(m.time); }

// Refused outranks unknown: a card that says no on one line stays a no whatever was not copied elsewhere.
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

/// Same name as people write it: case and outer blanks don't matter.
bool same_product(std::string_view a, std::string_view b) {
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

/// `4-16` holds its subgroups `4-16A`, `4-16B`; `5` does not hold `5-16`, which is another edition.
bool group_holds(std::string_view card_group, std::string_view crop_group) {
  if (!crop_group.starts_with(card_group)) return false;
  return std::all_of(crop_group.begin() + static_cast<std::ptrdiff_t>(card_group.size()), crop_group.end(),
                     [](char c) { return c >= 'A' && c <= 'Z'; });
}

constexpr std::string_view group_mark = "group:";

/// How a use lists the crop.
enum class Listing { by_name, by_known_group, by_unsure_group, excepted, cannot_say, no };

struct Listed {
  Listing how = Listing::no;
  std::string group;
  std::string known;  ///< how the membership is known, for `by_unsure_group`
};

// Conditions that labels state so often that they have a sentence of their own; every other one is shown as it was copied.
Reason say_other(const OtherStatement& o) {
  struct Known {
    std::string_view field, value, code;
  };
  static constexpr Known known[] = {
      {"conditions.max_temp_c", "", "judge.other.max_temp"},
      {"conditions.min_temp_c", "", "judge.other.min_temp"},
      {"conditions.max_wind_kmh", "", "judge.other.max_wind"},
      {"conditions.min_wind_kmh", "", "judge.other.min_wind"},
      {"conditions.rainfast_hours", "", "judge.other.rainfast"},
      {"conditions.buffer_m", "", "judge.other.buffer"},
      {"conditions.bees", "not-while-foraging", "judge.other.bees_foraging"},
      {"conditions.bees", "not-on-open-flowers", "judge.other.bees_flowers"},
  };
  for (const Known& k : known)
    if (o.field == k.field && (k.value.empty() || o.text == k.value)) return {std::string(k.code), {{"text", o.text}}};
  return {"judge.other.read", {{"field", o.field}, {"text", o.text}}};
}

class Judge {
 public:
  Judge(const Card& card, const Proposal& proposal, const pest::Library& library) : card_{card}, p_{proposal}, library_{library} {}

  Judgement run() {
    crop();
    if (uses_.empty()) {
      for (const Rule rule : {Rule::rate, Rule::pre_harvest, Rule::reentry, Rule::interval, Rule::max_applications})
        add({rule, State::unknown, "use", 0, {"judge.no_use", {}}});
    } else {
      out_.use = uses_.front();
      rate();
      pre_harvest();
      reentry();
      interval();
      max_applications();
      bound_harvest();
    }
    setting();
    identity();
    others();
    std::stable_sort(out_.outcomes.begin(), out_.outcomes.end(),
                     [](const Outcome& a, const Outcome& b) { return badness(a.state) > badness(b.state); });
    const State worst = out_.outcomes.front().state;
    out_.verdict = worst == State::refused       ? Verdict::refused
                   : worst == State::unknown     ? Verdict::unknown
                   : worst == State::conditional ? Verdict::conditional
                                                 : Verdict::allowed;
    return std::move(out_);
  }

 private:
  void add(Outcome outcome) { out_.outcomes.push_back(std::move(outcome)); }
  Fact crop_fact() const { return {"crop", Term{"crop." + p_.crop}}; }
  const Use& use(std::size_t i) const { return card_.uses[i]; }

  Listed listed(const Use& use) const {
    if (std::find(use.except.begin(), use.except.end(), p_.crop) != use.except.end()) return {Listing::excepted, {}, {}};
    if (std::find(use.crops.begin(), use.crops.end(), p_.crop) != use.crops.end()) return {Listing::by_name, {}, {}};
    const pest::Crop* crop = library_.crop(p_.crop);
    Listed best;
    for (const std::string& name : use.crops) {
      if (!name.starts_with(group_mark)) continue;
      const std::string group = name.substr(group_mark.size());
      const bool group_known = std::any_of(library_.crops.begin(), library_.crops.end(), [&](const pest::Crop& c) {
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

  void crop() {
    std::vector<Listed> how;
    for (const Use& u : card_.uses) how.push_back(listed(u));
    const auto first = [&](Listing kind) -> std::optional<std::size_t> {
      for (std::size_t i = 0; i < how.size(); ++i)
        if (how[i].how == kind) return i;
      return std::nullopt;
    };
    for (std::size_t i = 0; i < how.size(); ++i)
      if (how[i].how == Listing::by_name || how[i].how == Listing::by_known_group || how[i].how == Listing::by_unsure_group)
        uses_.push_back(i);

    const auto answer = [&](std::size_t i, State state, std::string code, std::string_view field = "crops") {
      Reason reason{std::move(code), {crop_fact()}};
      if (!how[i].group.empty()) reason.facts.push_back({"group", how[i].group});
      add({Rule::crop, state, field_of(i, field), use(i).line, std::move(reason)});
    };
    const auto unclear = first(Listing::cannot_say);
    // A use that may or may not cover the crop could hold stricter directions, so it is never passed over in silence.
    if (const auto i = first(Listing::by_name)) {
      if (unclear)
        answer(*unclear, State::conditional, "judge.crop.listed_other_unclear");
      else
        answer(*i, State::pass, "judge.crop.listed");
    } else if (const auto known = first(Listing::by_known_group)) {
      if (unclear)
        answer(*unclear, State::conditional, "judge.crop.listed_other_unclear");
      else
        answer(*known, State::pass, "judge.crop.in_group");
    } else if (const auto unsure = first(Listing::by_unsure_group)) {
      answer(*unsure, State::conditional, "judge.crop.in_group_unsure");
      out_.outcomes.back().reason.facts.push_back({"known", Term{"label.known." + how[*unsure].known}});
    } else if (unclear) {
      answer(*unclear, State::unknown, library_.crop(p_.crop) == nullptr ? "judge.crop.not_in_library" : "judge.crop.group_unknown");
    } else if (const auto excepted = first(Listing::excepted)) {
      answer(*excepted, State::refused, "judge.crop.excepted", "except");
    } else if (card_.uses.empty()) {
      add({Rule::crop, State::unknown, "use", 0, {"judge.crop.no_uses", {crop_fact()}}});
    } else {
      add({Rule::crop, State::refused, "use", 0, {"judge.crop.not_listed", {crop_fact()}}});
    }
  }

  /// The worst answer over the uses that list the crop; the first of equals.
  template <class Ask>
  void worst_of_uses(Ask ask) {
    std::optional<Outcome> worst;
    for (const std::size_t i : uses_) {
      Outcome o = ask(i);
      o.card_line = use(i).line;
      if (!worst || badness(o.state) > badness(worst->state)) worst = std::move(o);
    }
    add(std::move(*worst));
  }

  void rate() {
    worst_of_uses([&](std::size_t i) {
      const Use& u = use(i);
      const auto say = [&](State state, std::string code, std::string_view field, const ProductRate* bound = nullptr) {
        Reason reason{std::move(code), {}};
        if (p_.rate) reason.facts.push_back({"rate", p_.rate->as_given});
        if (bound != nullptr) reason.facts.push_back({"bound", bound->as_given});
        return Outcome{Rule::rate, state, field_of(i, field), 0, std::move(reason)};
      };
      const ProductRate* low = u.rate_min.value();
      const ProductRate* high = u.rate_max.value();
      // Figures that went through two unit conversions agree to a part in 10^9 when they are the same amount.
      constexpr double same = 1e-9;
      const auto comparable = [&](const ProductRate* bound) { return bound != nullptr && p_.rate && bound->basis == p_.rate->basis; };
      if (comparable(high) && p_.rate->value > high->value * (1.0 + same)) return say(State::refused, "judge.rate.above", "rate.max", high);
      if (!u.rate_max.is_copied()) return say(State::unknown, "judge.rate.not_copied", "rate.max");
      if (!u.rate_min.is_copied()) return say(State::unknown, "judge.rate.min_not_copied", "rate.min");
      if (!p_.rate) return say(State::unknown, "judge.rate.not_given", "rate.max", high);
      for (const auto& [bound, field] : {std::pair{high, "rate.max"}, std::pair{low, "rate.min"}}) {
        if (bound == nullptr || comparable(bound)) continue;
        const bool weight = bound->basis == ProductRate::Basis::mass_per_area || bound->basis == ProductRate::Basis::mass_per_volume;
        const bool given_weight =
            p_.rate->basis == ProductRate::Basis::mass_per_area || p_.rate->basis == ProductRate::Basis::mass_per_volume;
        return say(State::unknown, weight == given_weight ? "judge.rate.other_basis" : "judge.rate.weight_or_volume", field, bound);
      }
      if (low != nullptr && p_.rate->value < low->value * (1.0 - same)) return say(State::conditional, "judge.rate.below", "rate.min", low);
      if (high == nullptr) return say(State::conditional, "judge.rate.no_highest", "rate.max");
      return say(State::pass, "judge.rate.within", "rate.max", high);
    });
  }

  /// Planned harvests that aren't clearly before the application.
  bool follows(const Moment& harvest) const { return latest(harvest) >= earliest(p_.on); }

  /// When harvest is clear by the days alone. Known to the day, days are counted on the calendar, as labels are read.
  std::int64_t harvest_clear(double days) const {
    if (p_.on.day_only) return seconds(p_.on.time.date) + static_cast<std::int64_t>(std::ceil(days)) * day_seconds;
    return after(span_seconds(days * 24.0));
  }

  /// So many seconds after the application's end, on the wall and in fact: the later, where clocks are put forward in between.
  std::int64_t after(std::int64_t wait) const {
    const std::int64_t on_the_wall = seconds(p_.on.time) + wait;
    if (p_.zone == nullptr) return on_the_wall;
    const Instant passed = p_.zone->instant(p_.on.time) + Duration{wait * 1'000'000};
    return std::max(on_the_wall, seconds(p_.zone->civil(passed)));
  }

  void pre_harvest() {
    bool known = true;
    std::int64_t clear = earliest(p_.on);
    worst_of_uses([&](std::size_t i) {
      const auto& stated = use(i).pre_harvest_days;
      const auto say = [&](State state, std::string code, std::vector<Fact> facts) {
        return Outcome{Rule::pre_harvest, state, field_of(i, "pre_harvest_days"), 0, {std::move(code), std::move(facts)}};
      };
      if (!stated.is_copied()) {
        known = false;
        return say(State::unknown, "judge.pre_harvest.not_copied", {});
      }
      if (stated.says_none()) return say(State::conditional, "judge.pre_harvest.none_stated", {});
      const double days = *stated.value();
      const std::int64_t from = harvest_clear(days);
      clear = std::max(clear, from);
      const std::vector<Fact> facts = {{"days", Number{days, days > std::floor(days) ? 1 : 0}}, {"from", civil(from)}};
      const auto judged = [&](const Moment& h) {
        if (!(days > 0.0) || earliest(h) >= from) return State::pass;
        if (p_.on.day_only) return h.time.date >= civil(from).date ? State::pass : State::refused;
        return latest(h) >= from ? State::conditional : State::refused;
      };
      Outcome worst = say(State::pass, "judge.pre_harvest.clear", facts);
      for (const Moment& h : p_.harvests) {
        if (!follows(h)) continue;
        const State state = judged(h);
        if (badness(state) <= badness(worst.state)) continue;
        worst = say(state, state == State::refused ? "judge.pre_harvest.too_soon" : "judge.pre_harvest.not_before", facts);
        worst.reason.facts.push_back({"harvest", h.time.date});
      }
      return worst;
    });
    if (known) harvest_from_ = clear;
  }

  void reentry() {
    bool known = true;
    std::int64_t end = latest(p_.on);
    bool hours_given = false;
    worst_of_uses([&](std::size_t i) {
      const auto& stated = use(i).reentry;
      const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
        return Outcome{Rule::reentry, state, field_of(i, "reentry_hours"), 0, {std::move(code), std::move(facts)}};
      };
      if (!stated.is_copied()) {
        known = false;
        return say(State::unknown, "judge.reentry.not_copied");
      }
      if (stated.says_none() || stated.value()->until_dry) out_.reentry_until_dry = true;
      if (stated.says_none()) return say(State::conditional, "judge.reentry.none_stated");
      if (stated.value()->until_dry && !(stated.value()->hours > 0.0)) return say(State::conditional, "judge.reentry.until_dry");
      // An application known only to the day may have ended at midnight, so its end is counted from there.
      const std::int64_t wait = span_seconds(stated.value()->hours);
      const std::int64_t sure = p_.on.day_only ? seconds(p_.on.time.date) + day_seconds + wait : after(wait);
      const std::int64_t soonest = earliest(p_.on) + wait;
      end = std::max(end, sure);
      hours_given = true;
      const std::vector<Fact> facts = {{"hours", Number{stated.value()->hours, 0}}, {"end", civil(sure)}};
      Outcome worst = stated.value()->until_dry ? say(State::conditional, "judge.reentry.hours_and_dry", facts)
                                                : say(State::pass, "judge.reentry.until", facts);
      for (const Moment& h : p_.harvests) {
        if (!follows(h) || earliest(h) >= sure) continue;
        const State state = latest(h) < soonest ? State::refused : State::conditional;
        if (badness(state) <= badness(worst.state)) continue;
        worst = say(state, state == State::refused ? "judge.reentry.harvest_inside" : "judge.reentry.harvest_not_before", facts);
        worst.reason.facts.push_back({"harvest", h.time.date});
      }
      return worst;
    });
    if (!known) {
      out_.reentry_until_dry = false;
      return;
    }
    reentry_known_ = true;
    if (hours_given) {
      entry_from_ = end;
      out_.reentry = civil(end);
    }
  }

  /// Later of pre-harvest and re-entry end. A spray dries within the day, but no hour is known for it: with no whole day to wait, no time
  /// is named.
  void bound_harvest() {
    if (!harvest_from_ || !reentry_known_) return;
    if (out_.reentry_until_dry && civil(*harvest_from_).date <= p_.on.time.date) return;
    out_.earliest_harvest = civil(std::max(*harvest_from_, entry_from_.value_or(*harvest_from_)));
  }

  void interval() {
    worst_of_uses([&](std::size_t i) {
      const auto& stated = use(i).interval_days;
      const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
        return Outcome{Rule::interval, state, field_of(i, "interval_days"), 0, {std::move(code), std::move(facts)}};
      };
      if (!stated.is_copied()) return say(State::unknown, "judge.interval.not_copied");
      if (stated.says_none()) return say(State::pass, "judge.interval.none_stated");
      const double days = *stated.value();
      const Fact fact{"days", Number{days, days > std::floor(days) ? 1 : 0}};
      if (!p_.history) return say(State::unknown, "judge.interval.no_history", {fact});
      // Both ways: an application already entered for a later day must keep its distance too.
      for (const Past& past : *p_.history) {
        if (!same_product(past.product, card_.product)) continue;
        const int apart = std::abs((p_.on.time.date - past.on).count);
        if (apart < days) return say(State::refused, "judge.interval.too_soon", {fact, {"other", past.on}, {"apart", std::int64_t{apart}}});
      }
      return say(State::pass, "judge.interval.kept", {fact});
    });
  }

  void max_applications() {
    worst_of_uses([&](std::size_t i) {
      const auto& stated = use(i).max_applications;
      const auto say = [&](State state, std::string code, std::vector<Fact> facts = {}) {
        return Outcome{Rule::max_applications, state, field_of(i, "max_applications"), 0, {std::move(code), std::move(facts)}};
      };
      if (!stated.is_copied()) return say(State::unknown, "judge.max_applications.not_copied");
      if (stated.says_none()) return say(State::pass, "judge.max_applications.none_stated");
      const std::int64_t most = *stated.value();
      if (!p_.history) return say(State::unknown, "judge.max_applications.no_history", {{"most", most}});
      std::int64_t this_year = 0;
      std::int64_t all = 0;
      for (const Past& past : *p_.history) {
        if (!same_product(past.product, card_.product)) continue;
        ++all;
        if (past.on.year() == p_.on.time.date.year()) ++this_year;
      }
      const std::vector<Fact> facts = {{"most", most}, {"done", this_year}, {"all", all}};
      if (this_year + 1 > most) return say(State::refused, "judge.max_applications.reached", facts);
      if (all + 1 > most) return say(State::conditional, "judge.max_applications.over_year_end", facts);
      return say(State::pass, "judge.max_applications.within", facts);
    });
  }

  void setting() {
    const auto say = [&](State state, std::string code) {
      add({Rule::setting, state, field_of_card("setting"), 0, {std::move(code), {}}});
    };
    if (!card_.setting.is_copied()) return say(State::unknown, "judge.setting.not_copied");
    if (card_.setting.says_none()) return say(State::conditional, "judge.setting.none_stated");
    const CardSetting on_card = *card_.setting.value();
    if (on_card == CardSetting::both) return say(State::pass, "judge.setting.both");
    if (!p_.setting) return say(State::unknown, "judge.setting.not_given");
    const bool residential = *p_.setting == garden::Setting::residential;
    if ((on_card == CardSetting::residential) == residential) return say(State::pass, "judge.setting.same");
    return say(State::refused, residential ? "judge.setting.agricultural_only" : "judge.setting.residential_only");
  }

  /// What ties the card to a container. Lacking, the card may still be right, so the reader is sent to the container.
  void identity() {
    const auto say = [&](std::string_view field, std::string code, std::vector<Fact> facts = {}) {
      add({Rule::other, State::conditional, field_of_card(field), 0, {std::move(code), std::move(facts)}});
    };
    if (card_.registration.empty()) say("registration", "judge.card.no_registration");
    if (card_.actives.empty()) add({Rule::other, State::conditional, "active", 0, {"judge.card.no_actives", {}}});
    if (card_.copied_by.empty()) say("copied_by", "judge.card.no_copied_by");
    if (!card_.copied_on) return say("copied_on", "judge.card.no_copied_on");
    constexpr int year = 365;
    if ((p_.on.time.date - *card_.copied_on).count > year) say("copied_on", "judge.card.old", {{"copied_on", *card_.copied_on}});
  }

  void others() {
    for (const OtherStatement& o : card_.others) add({Rule::other, State::conditional, o.field, o.line, say_other(o)});
  }

  const Card& card_;
  const Proposal& p_;
  const pest::Library& library_;
  std::vector<std::size_t> uses_;  ///< those that list the crop
  std::optional<std::int64_t> harvest_from_, entry_from_;
  bool reentry_known_ = false;
  Judgement out_;
};

}  // namespace

Judgement judge(const Card& card, const Proposal& proposal, const pest::Library& library) { return Judge(card, proposal, library).run(); }

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

std::string_view word_for(Rule rule) {
  switch (rule) {
    case Rule::crop:
      return "crop";
    case Rule::rate:
      return "rate";
    case Rule::pre_harvest:
      return "pre_harvest";
    case Rule::reentry:
      return "reentry";
    case Rule::interval:
      return "interval";
    case Rule::max_applications:
      return "max_applications";
    case Rule::setting:
      return "setting";
    case Rule::other:
      return "other";
  }
  return "";
}

}  // namespace leafturn::label
