#include "render/cautions.hpp"
#include "render/judgement.hpp"
#include "render/ledger.hpp"
#include "render/names.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;
constexpr std::size_t state_width = 18;

std::string say(const char* code, std::vector<Fact> facts, const words::Style& style) {
  return words::say({code, std::move(facts)}, style);
}

/// `2026-06-13 16:30`, or the day alone at midnight of a day-only answer.
std::string clock(const CivilTime& time) {
  std::string iso = time.iso().substr(0, 16);
  iso[10] = ' ';
  return iso;
}

std::string reasons_text(const label::Judgement& judgement, const words::Style& style) {
  std::string out;
  for (const auto& outcome : judgement.outcomes) {
    const std::string state = words::say_key("state." + std::string(label::word_for(outcome.state)), style);
    std::string line = words::say(outcome.reason, style);
    if (!outcome.card_field.empty())
      line += " [" + outcome.card_field +
              (outcome.card_line > 0 ? ", " + say("answer.card_line", {{"n", std::int64_t{outcome.card_line}}}, style) : "") + "]";
    if (!outcome.remedy.code.empty()) line += " → " + words::say(outcome.remedy, style);
    out += "  " + padded(state, state_width) + wrapped(line, page_width, state_width + 2) + "\n";
  }
  return out;
}

std::string clearance_text(const label::Judgement& judgement, const words::Style& style) {
  std::string out = "  ";
  out += judgement.earliest_harvest ? say("answer.harvest_from", {{"time", clock(*judgement.earliest_harvest)}}, style)
                                    : words::say_key("answer.harvest_unknown", style);
  out += "\n  ";
  if (judgement.reentry)
    out += say("answer.reentry_from", {{"time", clock(*judgement.reentry)}}, style);
  else
    out += words::say_key(judgement.reentry_until_dry ? "answer.reentry_dry" : "answer.reentry_unknown", style);
  return out + "\n";
}

std::string card_text(const label::Card& card, const words::Style& style) {
  std::string out = wrapped(say("answer.copied",
                                {{"product", card.product},
                                 {"by", card.copied_by.empty() ? std::string("?") : card.copied_by},
                                 {"on", card.copied_on ? card.copied_on->iso() : std::string("?")}},
                                style),
                            page_width, 0) +
                    "\n";
  for (const auto& caution : product_cautions(style)) out += "  " + wrapped(caution, page_width, 2) + "\n";
  return out;
}

std::string verdict(const label::Judgement& judgement, const words::Style& style) {
  return words::say_key("verdict." + std::string(label::word_for(judgement.verdict)), style);
}

}  // namespace

std::string judgement_text(const app::JudgeAnswer& answer, const words::Style& style) {
  const std::string title = say(
      "answer.title", {{"product", answer.card.product}, {"crop", crop_name(answer.asked.crop, style)}, {"on", answer.asked.on}}, style);
  return title + "\n" + verdict(answer.judgement, style) + "\n\n" + reasons_text(answer.judgement, style) + "\n" +
         clearance_text(answer.judgement, style) + "\n" + card_text(answer.card, style);
}

std::string spray_text(const app::SprayOutcome& outcome, const Zone& zone, const words::Style& style) {
  const auto& question = outcome.question;
  std::string out =
      say("answer.treat_title", {{"product", question.product}, {"bed", question.bed}, {"on", clock(zone.civil(question.on))}}, style) +
      "\n";
  if (!outcome.answer) {
    out += words::say_key("answer.no_card", style) + "\n";
  } else if (outcome.answer->plantings.empty()) {
    out += words::say_key("answer.bed_empty", style) + "\n";
  } else {
    for (const auto& one : outcome.answer->plantings)
      out += "\n" + capital(crop_name(one.crop, style)) + " (" + one.planting + "): " + verdict(one.judgement, style) + "\n" +
             reasons_text(one.judgement, style) + clearance_text(one.judgement, style);
  }
  if (outcome.written) out += "\n" + receipt_text(*outcome.written, style);
  return outcome.answer ? out + "\n" + card_text(outcome.answer->card, style) : out;
}

}  // namespace leafturn::render
