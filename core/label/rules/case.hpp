#pragma once
/// What every rule is given, and the small things rules share. A rule is a function from a `Case` to outcomes; it knows no other rule.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/label/judge.hpp"

namespace leafturn::label {

inline constexpr std::int64_t day_seconds = 86'400;

/// Civil seconds since 1970, so that civil spans are plain sums.
std::int64_t seconds(const CivilTime& t);
std::int64_t seconds(Date d);
CivilTime civil(std::int64_t seconds);
/// Up to whole seconds: a fraction is never rounded in the applicator's favour.
std::int64_t span_seconds(double hours);
/// The first and the last second a moment can mean.
std::int64_t earliest(const Moment& m);
std::int64_t latest(const Moment& m);

/// Refused outranks unknown: a card that says no on one line stays a no whatever was not copied elsewhere.
int badness(State state);

std::string field_of_card(std::string_view name);
std::string field_of(std::size_t use, std::string_view name);
/// Days as labels print them: whole unless they aren't.
Fact days_fact(std::string_view name, double days);

/// Same name as people write it: case and outer blanks don't matter.
bool same_name(std::string_view a, std::string_view b);

struct Case {
  const Card& card;
  const Proposal& p;
  const pest::Library& library;
  std::vector<std::size_t> uses;  ///< directions that cover the crop; set by the crop rule

  const Use& use(std::size_t i) const { return card.uses[i]; }
  bool us() const { return p.jurisdiction && p.jurisdiction->starts_with("US"); }

  /// Planned things that aren't clearly before the application.
  bool follows(const Moment& m) const { return latest(m) >= earliest(p.on); }
  /// So many seconds after the application's end, on the wall and in fact: the later, where clocks are put forward in between.
  std::int64_t after(std::int64_t wait) const;
  /// When so many days have passed. Known to the day, days are counted on the calendar, as labels are read.
  std::int64_t after_days(double days) const;
  /// A planned moment against the time the days are over.
  State against_days(const Moment& m, double days) const;

  /// The worst answer over the uses that cover the crop, or over those it says something of; the first of equals. `ask` gives an Outcome or
  /// nothing.
  template <class Ask>
  std::optional<Outcome> worst_of_uses(Ask ask) const {
    std::optional<Outcome> worst;
    for (const std::size_t i : uses) {
      std::optional<Outcome> o = ask(i);
      if (!o) continue;
      o->card_line = use(i).line;
      if (!worst || badness(o->state) > badness(worst->state)) worst = std::move(o);
    }
    return worst;
  }
};

Outcome outcome_of(Rule rule, State state, std::string field, std::string code, std::vector<Fact> facts = {});

/// How a use lists a crop.
enum class Listing { by_name, by_known_group, by_unsure_group, excepted, cannot_say, no };
struct Listed {
  Listing how = Listing::no;
  std::string group;
  std::string known;  ///< how the membership is known, for `by_unsure_group`
};
Listed listed(const Use& use, const std::string& crop, const pest::Library& library);
bool covers(const Listed& listed);

}  // namespace leafturn::label
