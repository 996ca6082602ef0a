#include <algorithm>

#include "render/board.hpp"
#include "render/cautions.hpp"
#include "render/names.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using paper::Mark;
using paper::Tone;

constexpr int calendar_days = 7;

Mark mark_of(May may) { return may == May::yes ? Mark::yes : may == May::no ? Mark::no : Mark::unknown; }

paper::Cell answer_cell(May may, const char* about, const words::Style& style) {
  return {words::say_key("board_sheet." + std::string(about) + "_" + std::string(word_for(may)), style),
          may == May::yes ? Tone::plain : Tone::strong, mark_of(may)};
}

std::string reasons(const BoardLine& line, const words::Style& style) {
  std::string out;
  for (const auto& reason : line.why) out += (out.empty() ? "" : " ") + words::say(reason, style);
  return out;
}

std::string crop_of(const std::optional<std::string>& crop, const words::Style& style) {
  return crop ? crop_name(*crop, style) : words::say_key("board_sheet.empty", style);
}

std::string from_text(const decision::Clearance& clearance, const app::Stamp& stamp, const words::Style& style) {
  if (clearance.clear) return words::say_key("calendar_sheet.free", style);
  return clearance.from ? when(stamp.zone, *clearance.from) : words::say_key("calendar_sheet.unknown", style);
}

/// Free for all of that day?
Mark on_day(const decision::Clearance& clearance, Date day, const app::Stamp& stamp) {
  if (clearance.clear) return Mark::yes;
  if (!clearance.from) return Mark::unknown;
  return *clearance.from <= stamp.zone.start_of(day) ? Mark::yes : Mark::no;
}

const decision::BedBrief* brief_of(const app::BriefAnswer& answer, const std::string& bed) {
  const auto found = std::find_if(answer.brief.beds.begin(), answer.brief.beds.end(), [&](const auto& b) { return b.bed == bed; });
  return found == answer.brief.beds.end() ? nullptr : &*found;
}

void notes(paper::Document& doc, const app::BriefAnswer& answer, const words::Style& style) {
  for (const auto& caution : cautions(answer, style)) doc.blocks.push_back(paper::Paragraph{caution, Tone::small});
}

}  // namespace

paper::Document board_document(const app::BriefAnswer& answer, const app::Stamp& stamp, const words::Style& style) {
  paper::Document doc = sheet(words::say_key("board_sheet.title", style), stamp, style);
  doc.blocks.push_back(paper::Paragraph{words::say({"board_sheet.for_day", {{"day", answer.brief.day}}}, style), Tone::strong});
  const auto key = [&](const char* k) { return words::say_key(k, style); };
  paper::Table table{
      {{key("board_sheet.bed"), 1.9}, {key("board_sheet.pick"), 1.5}, {key("board_sheet.enter"), 1.5}, {key("board_sheet.until"), 3.2}},
      {},
      10.0};
  for (const auto& line : board(answer)) {
    std::string until = line.until ? when(stamp.zone, *line.until) + ". " : "";
    table.rows.push_back({{line.bed + " · " + crop_of(line.crop, style), Tone::strong},
                          answer_cell(line.pick, "pick", style),
                          answer_cell(line.enter, "enter", style),
                          {until + reasons(line, style)}});
  }
  doc.blocks.push_back(std::move(table));
  doc.blocks.push_back(paper::Paragraph{key("board_sheet.note"), Tone::strong});
  notes(doc, answer, style);
  return doc;
}

paper::Document calendar_document(const app::BriefAnswer& answer, const app::Stamp& stamp, const words::Style& style) {
  paper::Document doc = sheet(words::say_key("calendar_sheet.title", style), stamp, style);
  const auto key = [&](const std::string& k) { return words::say_key(k, style); };
  doc.blocks.push_back(paper::Paragraph{key("calendar_sheet.legend")});
  paper::Table table{
      {{key("board_sheet.bed"), 2.0}, {key("records.field.reentry_end"), 1.7}, {key("records.field.first_harvest"), 1.7}}, {}, 8.5};
  for (int i = 0; i < calendar_days; ++i) {
    const Date day = answer.brief.day + Days{i};
    table.columns.push_back({key("format.weekday." + std::to_string(day.weekday() + 1)) + " " + std::to_string(day.day()), 0.62});
  }
  for (const auto& laid : answer.garden.beds) {
    const auto* bed = brief_of(answer, laid.bed);
    if (bed == nullptr) continue;
    std::vector<paper::Cell> row{{laid.bed + " · " + crop_of(bed->crop, style), Tone::strong},
                                 {from_text(bed->entry, stamp, style)},
                                 {from_text(bed->harvest, stamp, style)}};
    // Picking needs going in.
    for (int i = 0; i < calendar_days; ++i) {
      const Date day = answer.brief.day + Days{i};
      const Mark pick = on_day(bed->harvest, day, stamp), enter = on_day(bed->entry, day, stamp);
      row.push_back({"", Tone::plain, enter == Mark::yes ? pick : enter});
    }
    table.rows.push_back(std::move(row));
  }
  doc.blocks.push_back(std::move(table));
  doc.blocks.push_back(paper::Paragraph{key("board_sheet.note"), Tone::strong});
  notes(doc, answer, style);
  return doc;
}

}  // namespace leafturn::render
