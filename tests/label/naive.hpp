#pragma once
/// docs/card.md, 'What the rules answer', written down a second time as plainly as can be: the table's columns, in minutes since 1970,
/// without reasons, fields or lines. It shares no code with core/label beyond the value types.
///
/// Each rule can be spoiled, so that a test can show that the comparison with the rule engine would notice.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/label/judge.hpp"

namespace leafturn::label::naive {

using Minutes = double;
Minutes minutes(const CivilTime& t);

struct Verdicts {
  std::map<Rule, State> rules;
  Verdict verdict = Verdict::unknown;
  std::optional<Minutes> earliest_harvest, reentry;
};

State worse(State a, State b);

/// Names of ways to spoil it: `rate.ignored` and the like leave a rule out, the others move a boundary or drop a case.
std::vector<std::string> mutants();

/// `mutant`: none when empty.
Verdicts judge(const Card& card, const Proposal& p, const pest::Library& library, const std::string& mutant = "");

}  // namespace leafturn::label::naive
