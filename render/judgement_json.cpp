#include <nlohmann/json.hpp>

#include "render/cautions.hpp"
#include "render/judgement.hpp"
#include "render/names.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {
namespace {

using nlohmann::json;

void add_card(json& into, const label::Card& card, const words::Style& style) {
  into["product"] = card.product;
  into["copied_by"] = card.copied_by;
  into["copied_on"] = card.copied_on ? json(card.copied_on->iso()) : json(nullptr);
  into["statements"] = statements_json(card);
  into["cautions"] = product_cautions(style);
}

}  // namespace

std::string judgement_json(const app::JudgeAnswer& answer, const words::Style& style) {
  json out = judgement_json(answer.judgement, answer.zone, style);
  out["crop"] = answer.asked.crop;
  out["on"] = answer.asked.on;
  out["rate"] = answer.asked.rate ? json(*answer.asked.rate) : json(nullptr);
  add_card(out, answer.card, style);
  return json_text(out);
}

std::string spray_json(const app::SprayOutcome& outcome, const Zone& zone, const words::Style& style) {
  json out{{"bed", outcome.question.bed}, {"on", zone.iso(outcome.question.on)}, {"rate", outcome.question.rate}};
  json plantings = json::array();
  if (outcome.answer) {
    for (const auto& one : outcome.answer->plantings) {
      json planting = judgement_json(one.judgement, zone, style);
      planting["planting"] = one.planting;
      planting["crop"] = one.crop;
      planting["crop_name"] = crop_name(one.crop, style);
      plantings.push_back(std::move(planting));
    }
  }
  out["plantings"] = std::move(plantings);
  out["written"] = outcome.written ? json(receipt_value(outcome.written->receipt)) : json(nullptr);
  if (outcome.answer) add_card(out, outcome.answer->card, style);
  return json_text(out);
}

}  // namespace leafturn::render
