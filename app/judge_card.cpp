#include "app/judge_card.hpp"

#include <algorithm>
#include <utility>

#include "app/add_told.hpp"
#include "app/development.hpp"
#include "io/card_toml.hpp"
#include "io/csv.hpp"
#include "io/file_bytes.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

std::string folded(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  std::string out{text};
  std::transform(out.begin(), out.end(), out.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

/// EPPO codes are five to seven letters and digits; the library holds only some of them, and a card may list any.
Result<std::string> crop_code(const std::string& given) {
  std::string code;
  for (const char c : given) {
    const char upper = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    if ((upper < 'A' || upper > 'Z') && (upper < '0' || upper > '9')) return fail("judge.crop", {{}, 0, "--crop"}, {{"given", given}});
    code += upper;
  }
  if (code.size() < 5 || code.size() > 7) return fail("judge.crop", {{}, 0, "--crop"}, {{"given", given}});
  return code;
}

Result<std::vector<label::Past>> read_history(const std::string& path, const std::string& product, const Zone& zone) {
  const auto bytes = io::read_file(path);
  if (!bytes) return fail(bytes.error());
  const auto table = io::read_csv(*bytes, path);
  if (!table) return fail(table.error());
  const auto action = table->column("action");
  const auto time = table->column("date") ? table->column("date") : table->column("time");
  const auto name = table->column("product");
  if (!time || !name) return fail("judge.history_columns", {path, 1, {}});
  std::vector<label::Past> past;
  for (const auto& row : table->rows) {
    if (action && folded(row.cells[*action]) != "spray") continue;
    const auto on = io::parse_wall_time(row.cells[*time], zone, table->header[*time]);
    if (!on) return fail(Error{on.error().code, {path, row.line, table->header[*time]}, on.error().facts, on.error().kind});
    if (folded(row.cells[*name]) == folded(product)) past.push_back({on->time.date, product});
  }
  return past;
}

Result<label::Moment> moment(const std::string& text, const Zone& zone, const std::string& field) {
  const auto wall = io::parse_wall_time(text, zone, field);
  if (!wall) return fail(wall.error());
  return label::Moment{wall->time, wall->day_only};
}

}  // namespace

Result<JudgeAnswer> judge_card(const JudgeQuestion& question) {
  auto zone = io::load_zone(question.zone);
  if (!zone) return fail(zone.error());
  label::Proposal proposal;
  proposal.zone = &*zone;
  auto crop = crop_code(question.crop);
  if (!crop) return fail(crop.error());
  proposal.crop = std::move(*crop);
  const auto on = moment(question.on, *zone, "--on");
  if (!on) return fail(on.error());
  proposal.on = *on;
  if (question.rate) {
    auto rate = label::parse_rate(*question.rate);
    if (!rate) {
      Error error = rate.error();
      if (error.where.field.empty()) error.where.field = "--rate";
      return fail(std::move(error));
    }
    proposal.rate = std::move(*rate);
  }
  for (const auto& text : question.harvests) {
    const auto harvest = moment(text, *zone, "--harvest");
    if (!harvest) return fail(harvest.error());
    proposal.harvests.push_back(*harvest);
  }
  if (question.setting) {
    if (*question.setting != "residential" && *question.setting != "agricultural")
      return fail("judge.setting", {{}, 0, "--setting"}, {{"given", *question.setting}});
    proposal.setting = *question.setting == "residential" ? garden::Setting::residential : garden::Setting::agricultural;
  }

  proposal.jurisdiction = question.jurisdiction;
  if (question.growth_stage) {
    const auto stage = io::parse_whole(*question.growth_stage, "--growth-stage", 0, 99);
    if (!stage) return fail(stage.error());
    proposal.growth_stage = *stage;
  }
  const auto told = told_of(question.told);
  if (!told) return fail(told.error());
  add_told(proposal, *told, "", proposal.on.time);

  const auto bytes = io::read_file(question.card);
  if (!bytes) return fail(bytes.error());
  auto card = io::read_card_toml(*bytes, question.card);
  if (!card) return fail(card.error());
  if (question.history) {
    auto past = read_history(*question.history, card->product, *zone);
    if (!past) return fail(past.error());
    proposal.history = std::move(*past);
  }
  const auto books = library();
  if (!books) return fail(books.error());
  if (question.pest) proposal.pest = pest_code(**books, *question.pest);
  auto judgement = label::judge(*card, proposal, **books);
  return JudgeAnswer{question, std::move(*card), std::move(judgement), std::move(*zone)};
}

}  // namespace leafturn::app
