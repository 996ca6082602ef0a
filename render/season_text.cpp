#include <algorithm>

#include <fmt/format.h>

#include "render/names.hpp"
#include "render/season.hpp"
#include "render/season_words.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;
constexpr std::size_t first_mark = 0, half_mark = 2, last_mark = 4;

std::string word(std::string_view key, const words::Style& style) { return words::say_key(key, style); }

std::string paragraph(const Reason& reason, const words::Style& style) { return wrapped(words::say(reason, style), page_width, 0) + "\n"; }

std::string gap_lines(const std::vector<weather::Gap>& gaps, const words::Style& style) {
  std::string out;
  for (const auto& gap : gaps)
    out +=
        paragraph({"science.gap", {{"first", gap.first.iso()}, {"last", gap.last.iso()}, {"n", std::int64_t{gap.length().count}}}}, style);
  return out;
}

/// A share as whole per cent, but never 100 % or 0 % for what isn't all or nothing.
std::string share(double value, const words::Style& style) { return words::say_fact(Share{value}, style); }

std::string short_day(Date d) { return d.iso().substr(5); }

/// `2026-06-20`, with several futures also `(06-17–06-24)`; `(06-17– )` when fewer than nine in ten reach it.
std::string cell(const phenology::MarkDates& mark) {
  if (!mark.at) return "–";
  std::string out = mark.at->date.iso();
  if (mark.early && (!mark.late || mark.early->date != mark.late->date))
    out += " (" + short_day(mark.early->date) + "–" + (mark.late ? short_day(mark.late->date) : " ") + ")";
  return out;
}

std::string stage_table(const pest::Dossier& pest, const std::vector<phenology::StageCalendar>& stages, const words::Style& style) {
  Table table;
  table.column(word("column.stage", style));
  for (const char* column : {"column.p05", "column.p50", "column.p95"}) table.column(word(column, style));
  for (const auto& stage : stages)
    table.row({stage_name(pest.stages[stage.stage].key, style), cell(stage.enter[first_mark]), cell(stage.enter[half_mark]),
               cell(stage.enter[last_mark])});
  return table.text(2);
}

std::string generation_block(const pest::Dossier& pest, const phenology::GenerationCalendar& generation, const words::Style& style) {
  const bool partial = generation.partial.value_or(false);
  std::string out = "\n" + paragraph({partial ? "season.generation_partial" : "season.generation",
                                      {{"n", std::int64_t{generation.number}},
                                       {"complete", share(generation.complete.mean, style)},
                                       {"resting", share(generation.resting.mean, style)},
                                       {"laid", share(generation.laid.mean, style)}}},
                                     style);
  return out + stage_table(pest, generation.stages, style);
}

std::string start_line(const phenology::Calendar& calendar, const words::Style& style) {
  const auto& biofix = calendar.biofix;
  const std::string why = words::say({biofix.code, biofix.facts}, style);
  if (!biofix.date) return paragraph({"season.no_start", {{"why", why}}}, style);
  return paragraph({"season.starts", {{"day", *biofix.date}, {"why", why}}}, style);
}

std::string heat(const std::optional<DegreeDays>& d) { return d ? fixed(d->celsius_days(), 0) : std::string("–"); }

std::string day_or_dash(const std::optional<Date>& d) { return d ? d->iso() : std::string("–"); }

std::string ahead_cell(const std::optional<int>& days) { return days ? fmt::format("{:+d}", *days) : std::string("–"); }

std::string comparison_block(const pest::Dossier& pest, const app::SeasonComparison& comparison, const words::Style& style) {
  std::string out = "\n" + paragraph({"season.compare_title", {{"years", static_cast<std::int64_t>(comparison.years)}}}, style);
  if (const auto& sums = comparison.heat; sums && sums->now) {
    out += paragraph({sums->rule.in_soil ? "season.compare_heat_soil" : "season.compare_heat",
                      {{"lower", sums->rule.lower},
                       {"since", sums->days.front().date},
                       {"until", sums->until},
                       {"now", heat(sums->now)},
                       {"normal", heat(sums->normal)},
                       {"low", heat(sums->low)},
                       {"high", heat(sums->high)},
                       {"last", heat(sums->last_year)},
                       {"years", static_cast<std::int64_t>(sums->years)}}},
                     style);
    if (const auto text = ahead_text(comparison, style); !text.empty()) out += wrapped(text, page_width, 0) + "\n";
  }
  if (comparison.dates.empty()) return out;
  Table table;
  for (const char* column :
       {"column.generation", "column.stage", "column.this_year", "column.normal", "column.earliest", "column.latest", "column.last_year"})
    table.column(word(column, style));
  table.column(word("column.ahead", style), true);
  for (const auto& key : comparison.dates)
    table.row({std::to_string(key.generation), stage_name(pest.stages[key.stage].key, style), day_or_dash(key.this_year),
               day_or_dash(key.normal), day_or_dash(key.earliest), day_or_dash(key.latest), day_or_dash(key.last_year),
               ahead_cell(key.days_ahead_of_normal)});
  return out + table.text(2);
}

const phenology::StageCalendar* first_of(const app::SeasonAnswer& answer, std::initializer_list<pest::StageGroup> groups) {
  if (answer.calendar.generations.empty()) return nullptr;
  for (const auto& stage : answer.calendar.generations.front().stages)
    for (const auto group : groups)
      if (answer.pest.stages[stage.stage].group == group) return &stage;
  return nullptr;
}

std::string half_of(const phenology::StageCalendar* stage) { return stage == nullptr ? "–" : cell(stage->enter[half_mark]); }

}  // namespace

std::string season_text(const app::SeasonAnswer& answer, const words::Style& style) {
  const auto& calendar = answer.calendar;
  std::string out = capital(pest_name(answer.pest, style)) + " (" + answer.pest.scientific + "), " + std::to_string(answer.year) + "\n" +
                    start_line(calendar, style);
  for (const auto& event : answer.next) out += "  " + wrapped(capital(event_text(answer.pest, event, style)), page_width, 2) + "\n";
  for (const auto& generation : calendar.generations) out += generation_block(answer.pest, generation, style);
  if (answer.comparison) out += comparison_block(answer.pest, *answer.comparison, style);
  out += "\n" + gap_lines(calendar.gaps, style);
  if (answer.at && calendar.members > 1)
    out += paragraph({"season.futures", {{"n", static_cast<std::int64_t>(calendar.members)}, {"day", *answer.at}}}, style);
  if (answer.weather_last && !answer.at) out += paragraph({"season.weather_to", {{"day", *answer.weather_last}}}, style);
  return out + paragraph({"season.sure", {}}, style);
}

// A generation of which less is laid is hardly one.
constexpr double worth_counting = 0.1;

std::string seasons_text(const std::vector<app::SeasonAnswer>& answers, const words::Style& style) {
  using pest::StageGroup;
  if (answers.empty()) return {};
  std::string out = paragraph({"season.all_title", {{"year", std::int64_t{answers.front().year}}}}, style) + "\n";
  Table table;
  for (const char* column : {"column.pest", "column.starts", "column.eggs", "column.young", "column.adults"})
    table.column(word(column, style));
  table.column(word("column.generations", style), true);
  std::string without;
  std::vector<weather::Gap> gaps;
  for (const auto& answer : answers) {
    const auto& calendar = answer.calendar;
    for (const auto& gap : calendar.gaps)
      if (std::none_of(gaps.begin(), gaps.end(), [&](const auto& g) { return g.first == gap.first && g.last == gap.last; }))
        gaps.push_back(gap);
    if (calendar.generations.empty() && !calendar.biofix.date) {
      const std::string why = words::say({calendar.biofix.code, calendar.biofix.facts}, style);
      without += wrapped(capital(pest_name(answer.pest, style)) + ": " + why, page_width, 2) + "\n";
      continue;
    }
    // A star: days without weather lie in its season, as told below the table.
    table.row({capital(pest_name(answer.pest, style)) + (calendar.gaps.empty() ? "" : " *"), day_or_dash(calendar.biofix.date),
               half_of(first_of(answer, {StageGroup::egg})), half_of(first_of(answer, {StageGroup::larva, StageGroup::nymph})),
               half_of(first_of(answer, {StageGroup::adult})),
               std::to_string(std::count_if(calendar.generations.begin(), calendar.generations.end(),
                                            [](const auto& generation) { return generation.laid.mean >= worth_counting; }))});
  }
  out += table.text();
  if (!gaps.empty()) out += "\n* " + gap_lines(gaps, style);
  if (!without.empty()) out += "\n" + without;
  if (answers.front().weather_last && !answers.front().at)
    out += "\n" + paragraph({"season.weather_to", {{"day", *answers.front().weather_last}}}, style);
  return out + paragraph({"season.sure", {}}, style);
}

std::string hatch_text(const app::HatchAnswer& answer, const words::Style& style) {
  std::string out = paragraph({"hatch.title." + std::string(app::word_for(answer.age)),
                               {{"pest", pest_name(answer.pest, style)},
                                {"stage", stage_name(answer.pest.stages[answer.stage].key, style)},
                                {"found", answer.found.date}}},
                              style) +
                    "\n" + stage_table(answer.pest, answer.hatch.stages, style);
  out += "\n" + gap_lines(answer.hatch.gaps, style);
  if (answer.hatch.resting.mean >= 0.005) out += paragraph({"hatch.resting", {{"share", share(answer.hatch.resting.mean, style)}}}, style);
  if (answer.hatch.members > 1) out += paragraph({"hatch.futures", {{"n", static_cast<std::int64_t>(answer.hatch.members)}}}, style);
  return out + paragraph({"hatch.sure", {}}, style);
}

}  // namespace leafturn::render
