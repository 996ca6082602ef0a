#include "core/records/rules.hpp"

#include <array>

namespace leafturn::records {
namespace {

using F = Field;

// Paragraphs as read in a stored copy of 7 CFR 110.3 (2006).
constexpr std::array<Asked, 9> restricted{{
    {F::product, "7 CFR 110.3(a)(1)"},
    {F::registration, "7 CFR 110.3(a)(1)"},
    {F::amount, "7 CFR 110.3(a)(2)"},
    {F::location, "7 CFR 110.3(a)(3)"},
    {F::area, "7 CFR 110.3(a)(3)"},
    {F::crop, "7 CFR 110.3(a)(3)"},
    {F::date, "7 CFR 110.3(a)(4)"},
    {F::applicator, "7 CFR 110.3(a)(5)"},
    {F::certificate, "7 CFR 110.3(a)(5)"},
}};
// The list as read at the Pesticide Educational Resources Collaborative; the paragraph from memory.
constexpr std::string_view display = "40 CFR 170.311(b)(1)(ii)";
constexpr std::array<Asked, 9> worker{{
    {F::product, display},
    {F::active, display},
    {F::registration, display},
    {F::reentry, display},
    {F::crop, display},
    {F::location, display},
    {F::date, display},
    {F::started, display},
    {F::ended, display},
}};
constexpr std::array<Asked, 12> organic{{
    {F::product, "7 USC 6519(a)(2)"},
    {F::applicator, "7 USC 6519(a)(2)"},
    {F::address, "7 USC 6519(a)(2)"},
    {F::date, "7 USC 6519(a)(2)"},
    {F::rate, "7 USC 6519(a)(2)"},
    {F::method, "7 USC 6519(a)(2)"},
    {F::location, "7 CFR 205.103(b)(2)"},
    {F::crop, "7 CFR 205.103(b)(2)"},
    {F::pest, "7 CFR 205.206(e)"},
    {F::evidence, "7 CFR 205.206(e)"},
    {F::why, "7 CFR 205.206(e)"},
    {F::system_plan, "7 CFR 205.206(e)"},
}};
// Articles 1 and 3 as read; the table of the annex by summaries of it.
constexpr std::string_view annex = "(EU) 2023/564, annex";
constexpr std::array<Asked, 12> european{{
    {F::use_type, annex},
    {F::product, annex},
    {F::registration, annex},
    {F::date, annex},
    {F::started, annex, true},
    {F::rate, annex},
    {F::amount, annex},
    {F::area, annex},
    {F::location, "(EU) 2023/564, Art. 1"},
    {F::crop, annex},
    {F::crop_code, "(EU) 2023/564, Art. 1"},
    {F::growth_stage, annex, true},
}};

constexpr std::array<std::string_view, field_count> words{
    "product",   "registration", "active",      "amount",      "rate",          "area",    "location",    "crop",
    "crop_code", "growth_stage", "date",        "started",     "ended",         "reentry", "reentry_end", "applicator",
    "address",   "certificate",  "method",      "equipment",   "use_type",      "weather", "pest",        "evidence",
    "tried",     "why",          "system_plan", "pre_harvest", "first_harvest", "made_on"};
constexpr std::array<std::string_view, 4> rule_words{"us-rup", "us-worker", "us-organic", "eu"};

}  // namespace

std::string_view word_for(Rule rule) { return rule_words[static_cast<std::size_t>(rule)]; }

std::optional<Rule> parse_rule(std::string_view word) {
  for (const Rule rule : all_rules)
    if (word_for(rule) == word) return rule;
  return std::nullopt;
}

std::string_view word_for(Field field) { return words[static_cast<std::size_t>(field)]; }

std::span<const Asked> asked_by(Rule rule) {
  switch (rule) {
    case Rule::us_restricted:
      return restricted;
    case Rule::us_worker:
      return worker;
    case Rule::us_organic:
      return organic;
    case Rule::eu:
      return european;
  }
  return {};
}

}  // namespace leafturn::records
