#pragma once
/// Pieces of JSON that several answers share. Only *_json.cpp files include this.

#include <nlohmann/json.hpp>
#include <optional>

#include "app/record.hpp"
#include "core/base/date.hpp"
#include "core/base/fact.hpp"
#include "core/decision/brief.hpp"
#include "core/label/judge.hpp"
#include "core/weather/daily.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// The one way our JSON becomes text: one line and its end. Bytes that aren't UTF-8 (a file's name may hold any) become U+FFFD instead of
/// an exception.
std::string json_text(const nlohmann::ordered_json& value);
std::string json_text(const nlohmann::json& value);

/// {"id", "seq", "link", "kind": appended|had-it|quarantined}
nlohmann::ordered_json receipt_value(const store::Receipt& receipt);
/// {"code", "text"}
nlohmann::json reason_json(const Reason& reason, const words::Style& style);
nlohmann::json reasons_json(const std::vector<Reason>& reasons, const words::Style& style);
/// Ten decimals: a reading given as 48 °F comes back as 48, not as what the way through Celsius leaves of it.
double tidy(double value);
/// [{"first", "last", "days"}]
nlohmann::ordered_json gaps_json(const std::vector<weather::Gap>& gaps);
/// `forecast`, `past_years`, `last_fortnight`: on what the days after the record rest.
const char* future_word(decision::Future future);
/// ISO day or null.
nlohmann::json day_json(const std::optional<Date>& day);
/// [{"rule", "state", "card_field", "card_line", "text"}], worst first.
nlohmann::json outcomes_json(const label::Judgement& judgement, const words::Style& style);
/// [{"field", "line", "text"}]: what else the card says, in its own words.
nlohmann::json statements_json(const label::Card& card);
/// {"verdict", "reasons", "earliest_harvest", "reentry", "reentry_until_dry"}; times with the zone's offset.
nlohmann::json judgement_json(const label::Judgement& judgement, const Zone& zone, const words::Style& style);

}  // namespace leafturn::render
