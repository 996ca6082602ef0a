#pragma once
/// What each rule asks of the record of a spray, section by section (spray-practice.md 2.1–2.4, 2.6).

#include <optional>
#include <span>
#include <string_view>

namespace leafturn::records {

/// US 7 CFR 110 (restricted-use products, certified applicators); 40 CFR 170 (worker protection); 7 CFR 205 and 7 USC 6519 (organic);
/// Implementing Regulation (EU) 2023/564.
enum class Rule { us_restricted, us_worker, us_organic, eu };
inline constexpr Rule all_rules[] = {Rule::us_restricted, Rule::us_worker, Rule::us_organic, Rule::eu};
/// `us-rup`, `us-worker`, `us-organic`, `eu`.
std::string_view word_for(Rule rule);
std::optional<Rule> parse_rule(std::string_view word);

enum class Field {
  product,
  registration,
  active,
  amount,
  rate,
  area,
  location,
  crop,
  crop_code,
  growth_stage,
  date,
  started,
  ended,
  reentry,
  reentry_end,
  applicator,
  address,
  certificate,
  method,
  equipment,
  use_type,
  weather,
  pest,
  evidence,
  tried,
  why,
  system_plan,
  pre_harvest,
  first_harvest,
  made_on
};
inline constexpr int field_count = static_cast<int>(Field::made_on) + 1;
/// The key of its label, `records.field.KEY` in the catalogue, and its column in CSV and JSON.
std::string_view word_for(Field field);

struct Asked {
  Field field = Field::product;
  std::string_view section;
  bool where_limited = false;  ///< only where the authorisation limits by it
};
/// In the order of the rule.
std::span<const Asked> asked_by(Rule rule);

}  // namespace leafturn::records
