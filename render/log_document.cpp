#include "render/csv_line.hpp"
#include "render/names.hpp"
#include "render/print.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

using paper::Mark;
using paper::Tone;

bool harvests(const app::LogAnswer& answer) { return answer.of == "harvests"; }
bool entries(const app::LogAnswer& answer) { return answer.of == "entries"; }

std::string or_not(const std::string& text, const words::Style& style) {
  return text.empty() ? words::say_key("records.not_recorded", style) : text;
}

std::string crops(const app::LogLine& line, const words::Style& style) {
  std::string out;
  for (const auto& crop : line.crops) out += (out.empty() ? "" : ", ") + crop_name(crop, style);
  return out;
}

std::string what(const app::LogAnswer& answer, const app::LogLine& line, const words::Style& style) {
  if (harvests(answer)) return or_not(crops(line, style), style);
  if (line.what) return words::say_key(line.what->key, style);
  return words::say_key("log.free_bed", style);
}

std::string how_much(const app::LogAnswer& answer, const app::LogLine& line, const words::Style& style) {
  if (harvests(answer)) return line.amount ? amount_text(*line.amount, style) : words::say_key("records.not_recorded", style);
  if (entries(answer))
    return line.stayed ? words::say({"log.minutes", {{"n", line.stayed->microseconds / 60'000'000}}}, style)
                       : words::say_key("records.not_recorded", style);
  return "–";
}

}  // namespace

paper::Document log_document(const app::LogAnswer& answer, const words::Style& style) {
  paper::Document doc = sheet(words::say_key("log.title." + answer.of, style), answer.stamp, style);
  const auto key = [&](const char* k) { return words::say_key(k, style); };
  doc.blocks.push_back(paper::Paragraph{
      words::say(
          {"log.between", {{"from", answer.from.iso()}, {"to", answer.to.iso()}, {"n", static_cast<std::int64_t>(answer.lines.size())}}},
          style),
      Tone::strong});
  paper::Table table{{{key("log.when"), 1.5}, {key("board_sheet.bed"), 0.7}, {key("log.what"), 1.8}}, {}, 8.5};
  const bool amounts = harvests(answer) || entries(answer);
  if (amounts) table.columns.push_back({key(harvests(answer) ? "log.amount" : "log.stayed"), 1.5});
  table.columns.push_back({key("log.by"), 1.2});
  table.columns.push_back({key("log.note"), 2.6});
  for (const auto& line : answer.lines) {
    std::vector<paper::Cell> row{{when(answer.stamp.zone, line.at)}, {line.bed, Tone::strong}, {what(answer, line, style)}};
    if (amounts) row.push_back({how_much(answer, line, style)});
    row.push_back({or_not(line.by, style), line.by.empty() ? Tone::quiet : Tone::plain});
    std::string note = line.detail;
    if (line.amended) note += (note.empty() ? "" : " ") + key("log.amended");
    if (line.before_wait) note += (note.empty() ? "" : " ") + key("log.before_wait");
    if (line.fate) note += (note.empty() ? "" : " ") + key(line.fate->key.c_str());
    row.push_back({note, line.before_wait ? Tone::strong : Tone::plain, line.before_wait ? Mark::no : Mark::none});
    table.rows.push_back(std::move(row));
  }
  doc.blocks.push_back(std::move(table));
  if (harvests(answer)) doc.blocks.push_back(paper::Paragraph{key("log.harvest_note"), Tone::small});
  if (entries(answer)) doc.blocks.push_back(paper::Paragraph{key("log.entry_note"), Tone::small});
  return doc;
}

std::string log_csv(const app::LogAnswer& answer, const words::Style& style) {
  CsvLine head;
  for (const char* column : {"when", "bed", "what", "amount_g", "stayed_min", "by", "note", "before_wait", "fate", "amended", "chain_head"})
    head.add(column);
  std::string out = head.end();
  const std::string nothing = words::say_key("records.not_recorded", style);
  for (const auto& line : answer.lines) {
    CsvLine one;
    one.add(answer.stamp.zone.iso(line.at));
    one.add(line.bed);
    one.add(what(answer, line, style));
    one.add(line.amount ? plain_number(line.amount->grams(), 1) : harvests(answer) ? nothing : "–");
    one.add(line.stayed ? std::to_string(line.stayed->microseconds / 60'000'000) : entries(answer) ? nothing : "–");
    one.add(line.by.empty() ? nothing : line.by);
    one.add(line.detail.empty() ? "–" : line.detail);
    one.add(line.before_wait ? "true" : "false");
    one.add(line.fate ? words::say_key(line.fate->key, style) : "–");
    one.add(line.amended ? "true" : "false");
    one.add(answer.stamp.head.hex());
    out += one.end();
  }
  return out;
}

}  // namespace leafturn::render
