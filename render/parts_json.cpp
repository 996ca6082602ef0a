#include "render/parts_json.hpp"

#include <cmath>

namespace leafturn::render {

using nlohmann::json;

namespace {

std::string_view word_for(store::Receipt::Kind kind) {
  switch (kind) {
    case store::Receipt::Kind::appended:
      return "appended";
    case store::Receipt::Kind::had_it:
      return "had-it";
    case store::Receipt::Kind::quarantined:
      return "quarantined";
  }
  return "";
}

}  // namespace

std::string json_text(const nlohmann::ordered_json& value) {
  return value.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string json_text(const nlohmann::json& value) { return value.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n"; }

nlohmann::ordered_json receipt_value(const store::Receipt& receipt) {
  return {{"id", receipt.id.text()}, {"seq", receipt.seq}, {"link", receipt.link.hex()}, {"kind", word_for(receipt.kind)}};
}

json reason_json(const Reason& reason, const words::Style& style) { return {{"code", reason.code}, {"text", words::say(reason, style)}}; }

json reasons_json(const std::vector<Reason>& reasons, const words::Style& style) {
  json out = json::array();
  for (const Reason& reason : reasons) out.push_back(reason_json(reason, style));
  return out;
}

double tidy(double value) { return std::round(value * 1e10) / 1e10; }

nlohmann::ordered_json gaps_json(const std::vector<weather::Gap>& gaps) {
  auto out = nlohmann::ordered_json::array();
  for (const auto& gap : gaps) out.push_back({{"first", gap.first.iso()}, {"last", gap.last.iso()}, {"days", gap.length().count}});
  return out;
}

json day_json(const std::optional<Date>& day) { return day ? json(day->iso()) : json(nullptr); }

json outcomes_json(const label::Judgement& judgement, const words::Style& style) {
  json out = json::array();
  for (const label::Outcome& outcome : judgement.outcomes)
    out.push_back({{"rule", label::word_for(outcome.rule)},
                   {"state", label::word_for(outcome.state)},
                   {"card_field", outcome.card_field},
                   {"card_line", outcome.card_line > 0 ? json(outcome.card_line) : json(nullptr)},
                   {"text", words::say(outcome.reason, style)},
                   {"remedy", outcome.remedy.code.empty() ? json(nullptr) : json(words::say(outcome.remedy, style))}});
  return out;
}

json statements_json(const label::Card& card) {
  json out = json::array();
  for (const auto& other : card.others) out.push_back({{"field", other.field}, {"line", other.line}, {"text", other.text}});
  return out;
}

json judgement_json(const label::Judgement& judgement, const Zone& zone, const words::Style& style) {
  const auto time = [&](const std::optional<CivilTime>& t) { return t ? json(zone.iso(zone.instant(*t))) : json(nullptr); };
  return {{"verdict", label::word_for(judgement.verdict)},
          {"reasons", outcomes_json(judgement, style)},
          {"earliest_harvest", time(judgement.earliest_harvest)},
          {"reentry", time(judgement.reentry)},
          {"reentry_until_dry", judgement.reentry_until_dry}};
}

const char* future_word(decision::Future future) {
  switch (future) {
    case decision::Future::forecast:
      return "forecast";
    case decision::Future::past_years:
      return "past_years";
    case decision::Future::last_fortnight:
      return "last_fortnight";
  }
  return "";
}

}  // namespace leafturn::render
