#include "render/season_words.hpp"

#include <cstdlib>

#include "render/names.hpp"

namespace leafturn::render {
namespace {

std::string ahead(const char* what, int days, const words::Style& style) {
  const std::string key = std::string("season.heat_") + (days > 0 ? "ahead_" : days < 0 ? "behind_" : "same_") + what;
  return words::say({key, {{"days", std::int64_t{std::abs(days)}}}}, style);
}

}  // namespace

std::string event_text(const pest::Dossier& pest, const phenology::NextEvent& event, const words::Style& style) {
  std::vector<Fact> facts{
      {"n", std::int64_t{event.generation}}, {"stage", stage_name(pest.stages[event.stage].key, style)}, {"on", event.when.at->date}};
  std::string code = std::string("season.event_") + (event.mark == 0 ? "first" : "half");
  if (event.generation == 0) code += "_overwintered";
  if (event.when.early && event.when.late && event.when.early->date != event.when.late->date) {
    facts.push_back({"early", event.when.early->date});
    facts.push_back({"late", event.when.late->date});
    code += "_between";
  }
  return words::say({code, std::move(facts)}, style);
}

std::string ahead_text(const app::SeasonComparison& comparison, const words::Style& style) {
  if (!comparison.heat) return {};
  std::string out;
  if (const auto days = comparison.heat->days_ahead_of_normal) out += ahead("normal", *days, style);
  if (const auto days = comparison.heat->days_ahead_of_last_year) out += (out.empty() ? "" : " ") + ahead("last_year", *days, style);
  return out;
}

}  // namespace leafturn::render
