// The most product and the most active ingredient on one area: by application, crop, season or year, over every card that shares the
// active.
#include <algorithm>

#include "core/label/active_amount.hpp"
#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

constexpr double same = 1e-9;

/// A sum of which a part may not be known.
struct Sum {
  double known = 0.0;
  bool whole = true;
  void add(const std::optional<double>& amount) {
    if (amount)
      known += *amount;
    else
      whole = false;
  }
};

bool counts(const Case& asked, Scope scope, Date on) {
  if (scope == Scope::crop) return !asked.p.crop_since || on >= *asked.p.crop_since;
  return on.year() == asked.p.on.time.date.year();
}

std::optional<double> in_measure(const std::optional<Dose>& dose, bool by_weight) {
  if (!dose || dose->by_weight != by_weight) return std::nullopt;
  return dose->per_square_metre;
}

std::optional<double> active_in(const std::optional<Dose>& dose, const Active& active) {
  const auto content = read_content(active.content);
  return dose && content ? active_of(*dose, *content) : std::nullopt;
}

class Amount {
 public:
  Amount(const Case& asked, std::size_t use) : asked_{asked}, use_{use} {
    if (asked.p.rate) dose_ = dose_of(*asked.p.rate, asked.p.water);
  }

  std::optional<Outcome> product() const {
    const AmountLimit* limit = asked_.use(use_).max_product.value();
    if (limit == nullptr) return std::nullopt;
    const bool weight = limit->amount.basis == ProductRate::Basis::mass_per_area;
    Sum sum;
    sum.add(in_measure(dose_, weight));
    return answer(*limit, "max_product", sum, [&](const Past& past, Sum& into) {
      if (same_name(past.product, asked_.card.product))
        into.add(past.rate ? in_measure(dose_of(*past.rate, past.water), weight) : std::nullopt);
    });
  }

  /// Each active of the card by itself against the limit: with several, a label says which one it means, and the strictest counts.
  std::optional<Outcome> active() const {
    const AmountLimit* limit = asked_.use(use_).max_active.value();
    if (limit == nullptr) return std::nullopt;
    if (limit->amount.basis != ProductRate::Basis::mass_per_area || asked_.card.actives.empty())
      return say(State::unknown, *limit, "max_active", "judge.amount.not_known");
    std::optional<Outcome> worst;
    for (const Active& mine : asked_.card.actives) {
      Sum sum;
      sum.add(active_in(dose_, mine));
      Outcome o = answer(*limit, "max_active", sum, [&](const Past& past, Sum& into) { add_active(past, mine, into); });
      if (!worst || badness(o.state) > badness(worst->state)) worst = std::move(o);
    }
    return worst;
  }

 private:
  void add_active(const Past& past, const Active& mine, Sum& into) const {
    const bool same_product = same_name(past.product, asked_.card.product);
    const std::vector<Active>& held = past.actives.empty() && same_product ? asked_.card.actives : past.actives;
    // A product whose actives nobody copied may hold this one.
    if (held.empty()) return into.add(std::nullopt);
    const auto dose = past.rate ? dose_of(*past.rate, past.water) : std::nullopt;
    for (const Active& a : held)
      if (same_name(a.name, mine.name)) into.add(active_in(dose, a));
  }

  template <class Add>
  Outcome answer(const AmountLimit& limit, std::string_view field, Sum sum, Add add) const {
    const double most = limit.amount.value * (1.0 + same);
    if (limit.scope == Scope::application) {
      if (!sum.whole) return say(State::unknown, limit, field, "judge.amount.not_known");
      return sum.known > most ? say(State::refused, limit, field, "judge.amount.above_each")
                              : say(State::pass, limit, field, "judge.amount.within_each");
    }
    if (asked_.p.history)
      for (const Past& past : *asked_.p.history)
        if (counts(asked_, limit.scope, past.on)) add(past, sum);
    if (sum.known > most) return say(State::refused, limit, field, "judge.amount.above");
    if (!asked_.p.history) return say(State::unknown, limit, field, "judge.amount.no_history");
    if (!sum.whole) return say(State::unknown, limit, field, "judge.amount.not_known");
    return say(State::pass, limit, field, "judge.amount.within");
  }

  Outcome say(State state, const AmountLimit& limit, std::string_view field, std::string code) const {
    return outcome_of(Rule::amount, state, field_of(use_, field), std::move(code), {{"most", limit.amount.as_given}});
  }

  const Case& asked_;
  std::size_t use_;
  std::optional<Dose> dose_;
};

}  // namespace

Answered amount_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) -> Answered {
    const Amount amount(asked, i);
    Answered product = amount.product();
    Answered active = amount.active();
    if (!product || (active && badness(active->state) > badness(product->state))) return active;
    return product;
  });
}

}  // namespace leafturn::label
