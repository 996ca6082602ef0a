#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;
using paper::Mark;
using paper::Tone;

std::string minutes_text(int minutes, const words::Style& style) {
  return words::say({"log.minutes", {{"n", std::int64_t{minutes}}}}, style);
}

}  // namespace

paper::Document crew_document(const app::CrewAnswer& answer, const words::Style& style) {
  paper::Document doc = sheet(words::say_key("crew.title", style), answer.stamp, style);
  const auto key = [&](const char* k) { return words::say_key(k, style); };
  doc.blocks.push_back(paper::Paragraph{words::say({"crew.for_day", {{"day", answer.day}}}, style), Tone::strong});
  for (const auto& card : answer.crew.cards) {
    doc.blocks.push_back(paper::Heading{
        2, card.hand.name,
        words::say({"crew.used", {{"minutes", std::int64_t{card.minutes}}, {"all", std::int64_t{*card.hand.minutes}}}}, style)});
    if (card.tasks.empty()) doc.blocks.push_back(paper::Paragraph{key("crew.nothing")});
    for (const auto& task : card.tasks)
      doc.blocks.push_back(
          paper::Paragraph{words::say(task.what, style) + " · " + minutes_text(task.minutes, style), Tone::plain, Mark::box});
  }
  if (!answer.crew.left.empty()) {
    doc.blocks.push_back(paper::Heading{2, key("crew.left")});
    for (const auto& one : answer.crew.left)
      doc.blocks.push_back(paper::Paragraph{words::say(one.task.what, style) + " · " + words::say(one.why, style), Tone::plain, Mark::no});
  }
  for (const auto& name : answer.no_minutes)
    doc.blocks.push_back(paper::Paragraph{words::say({"crew.minutes_unknown", {{"name", name}}}, style), Tone::small});
  doc.blocks.push_back(paper::Line{});
  doc.blocks.push_back(paper::Paragraph{key("crew.note"), Tone::small});
  doc.blocks.push_back(paper::Paragraph{key("board_sheet.note"), Tone::strong});
  return doc;
}

std::string crew_json(const app::CrewAnswer& answer, const words::Style& style) {
  const auto tasks = [&](const std::vector<decision::Task>& list) {
    ordered_json out = ordered_json::array();
    for (const auto& task : list)
      out.push_back({{"bed", task.bed}, {"minutes", task.minutes}, {"code", task.what.code}, {"text", words::say(task.what, style)}});
    return out;
  };
  ordered_json cards = ordered_json::array(), left = ordered_json::array();
  for (const auto& card : answer.crew.cards)
    cards.push_back({{"name", card.hand.name}, {"minutes", card.minutes}, {"of", *card.hand.minutes}, {"tasks", tasks(card.tasks)}});
  for (const auto& one : answer.crew.left)
    left.push_back({{"bed", one.task.bed},
                    {"minutes", one.task.minutes},
                    {"text", words::say(one.task.what, style)},
                    {"why", reason_json(one.why, style)}});
  return json_text(ordered_json{{"garden", answer.stamp.garden},
                                {"day", answer.day.iso()},
                                {"cards", cards},
                                {"left", left},
                                {"minutes_unknown", answer.no_minutes}});
}

}  // namespace leafturn::render
