#include <algorithm>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

// Figures that went through two unit conversions agree to a part in 10^9 when they are the same amount.
constexpr double same = 1e-9;

bool by_weight(const ProductRate& rate) {
  return rate.basis == ProductRate::Basis::mass_per_area || rate.basis == ProductRate::Basis::mass_per_volume;
}

/// The ends that count: those of the pest it is for, where the label gives that pest its own.
struct Ends {
  const ProductRate* low = nullptr;
  const ProductRate* high = nullptr;
  bool low_copied = false, high_copied = false;
};
Ends ends_for(const Use& use, const std::string& pest) {
  Ends ends{use.rate_min.value(), use.rate_max.value(), use.rate_min.is_copied(), use.rate_max.is_copied()};
  if (pest.empty() || use.pests.value() == nullptr) return ends;
  for (const PestDirection& d : *use.pests.value()) {
    if (d.pest != pest) continue;
    if (d.rate_min) ends.low = &*d.rate_min, ends.low_copied = true;
    if (d.rate_max) ends.high = &*d.rate_max, ends.high_copied = true;
  }
  return ends;
}

}  // namespace

Answered rate_rule(const Case& asked) {
  const auto& given = asked.p.rate;
  return asked.worst_of_uses([&](std::size_t i) {
    const auto say = [&](State state, std::string code, std::string_view field, const ProductRate* bound = nullptr) {
      Outcome o = outcome_of(Rule::rate, state, field_of(i, field), std::move(code));
      if (given) o.reason.facts.push_back({"rate", given->as_given});
      if (bound != nullptr) o.reason.facts.push_back({"bound", bound->as_given});
      return o;
    };
    const Ends ends = ends_for(asked.use(i), asked.p.pest);
    const auto comparable = [&](const ProductRate* bound) { return bound != nullptr && given && bound->basis == given->basis; };
    if (comparable(ends.high) && given->value > ends.high->value * (1.0 + same))
      return say(State::refused, "judge.rate.above", "rate.max", ends.high);
    if (!ends.high_copied) return say(State::unknown, "judge.rate.not_copied", "rate.max");
    if (!ends.low_copied) return say(State::unknown, "judge.rate.min_not_copied", "rate.min");
    if (!given) return say(State::unknown, "judge.rate.not_given", "rate.max", ends.high);
    for (const auto& [bound, field] : {std::pair{ends.high, "rate.max"}, std::pair{ends.low, "rate.min"}}) {
      if (bound == nullptr || comparable(bound)) continue;
      return say(State::unknown, by_weight(*bound) == by_weight(*given) ? "judge.rate.other_basis" : "judge.rate.weight_or_volume", field,
                 bound);
    }
    if (ends.low != nullptr && given->value < ends.low->value * (1.0 - same))
      return say(State::conditional, "judge.rate.below", "rate.min", ends.low);
    if (ends.high == nullptr) return say(State::conditional, "judge.rate.no_highest", "rate.max");
    return say(State::pass, "judge.rate.within", "rate.max", ends.high);
  });
}

Answered water_rule(const Case& asked) {
  return asked.worst_of_uses([&](std::size_t i) -> Answered {
    const double* low = asked.use(i).water_min.value();
    const double* high = asked.use(i).water_max.value();
    if (low == nullptr && high == nullptr) return std::nullopt;
    const auto say = [&](State state, std::string code, std::string_view field) {
      Outcome o = outcome_of(Rule::water, state, field_of(i, field), std::move(code));
      constexpr double per_hectare = 1e4;
      if (low != nullptr) o.reason.facts.push_back({"low", Number{*low * per_hectare, 0}});
      if (high != nullptr) o.reason.facts.push_back({"high", Number{*high * per_hectare, 0}});
      return o;
    };
    const auto bounded = [&](const char* code) { return std::string(code) + (low == nullptr ? "_high" : high == nullptr ? "_low" : ""); };
    const std::string_view field = low != nullptr ? "water.min" : "water.max";
    if (!asked.p.water) return say(State::conditional, bounded("judge.water.not_given"), field);
    const double given = *asked.p.water;
    if (low != nullptr && given < *low * (1.0 - same)) return say(State::refused, bounded("judge.water.outside"), "water.min");
    if (high != nullptr && given > *high * (1.0 + same)) return say(State::refused, bounded("judge.water.outside"), "water.max");
    return say(State::pass, bounded("judge.water.within"), field);
  });
}

}  // namespace leafturn::label
