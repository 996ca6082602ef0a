#include "render/season_parts_json.hpp"

#include <array>

#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "render/season_words.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

constexpr std::array<const char*, 5> mark_names{"p05", "p25", "p50", "p75", "p95"};
constexpr std::array<double, 5> mark_shares{0.05, 0.25, 0.50, 0.75, 0.95};

ordered_json enter_json(const phenology::MarkTable& enter, const WriteTime& write) {
  ordered_json out;
  for (std::size_t m = 0; m < enter.size(); ++m) out[mark_names[m]] = write(enter[m].at);
  return out;
}

ordered_json interval_json(const phenology::MarkTable& enter, std::size_t members, const WriteTime& write) {
  if (members < 2) return nullptr;
  ordered_json out;
  for (std::size_t m = 0; m < enter.size(); ++m)
    out[mark_names[m]] = {{"early", write(enter[m].early)}, {"late", write(enter[m].late)}, {"members", enter[m].reached}};
  return out;
}

ordered_json share_json(const phenology::ShareOver& share) { return {{"low", tidy(share.low)}, {"high", tidy(share.high)}}; }

template <class T>
ordered_json or_null(const std::optional<T>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json heat_value(const std::optional<DegreeDays>& heat) {
  return heat ? ordered_json(tidy(heat->celsius_days())) : ordered_json(nullptr);
}

ordered_json heat_json(const phenology::HeatComparison& heat, bool days) {
  ordered_json out{{"lower_c", tidy(heat.rule.lower.celsius())},
                   {"upper_c", heat.rule.upper ? ordered_json(tidy(heat.rule.upper->celsius())) : ordered_json(nullptr)},
                   {"in_soil", heat.rule.in_soil},
                   {"since", heat.days.empty() ? ordered_json(nullptr) : ordered_json(heat.days.front().date.iso())},
                   {"until", heat.now ? ordered_json(heat.until.iso()) : ordered_json(nullptr)},
                   {"years", heat.years},
                   {"now", heat_value(heat.now)},
                   {"normal", heat_value(heat.normal)},
                   {"low", heat_value(heat.low)},
                   {"high", heat_value(heat.high)},
                   {"last_year", heat_value(heat.last_year)},
                   {"days_ahead_of_normal", or_null(heat.days_ahead_of_normal)},
                   {"days_ahead_of_last_year", or_null(heat.days_ahead_of_last_year)}};
  if (!days) return out;
  ordered_json curve = ordered_json::array();
  for (const auto& day : heat.days)
    curve.push_back({{"date", day.date.iso()},
                     {"this_year", heat_value(day.this_year)},
                     {"normal", heat_value(day.normal)},
                     {"low", heat_value(day.low)},
                     {"high", heat_value(day.high)},
                     {"last_year", heat_value(day.last_year)}});
  out["days"] = std::move(curve);
  return out;
}

}  // namespace

WriteTime as_instants(std::int32_t offset_seconds) {
  return [zone = Zone::fixed(offset_seconds)](const std::optional<CivilTime>& at) {
    return at ? ordered_json(zone.iso(zone.instant(*at))) : ordered_json(nullptr);
  };
}

WriteTime as_days() {
  return [](const std::optional<CivilTime>& at) { return at ? ordered_json(at->date.iso()) : ordered_json(nullptr); };
}

ordered_json stages_json(const pest::Dossier& pest, const std::vector<phenology::StageCalendar>& stages, std::size_t members,
                         const WriteTime& write, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const auto& stage : stages) {
    const std::string& key = pest.stages[stage.stage].key;
    out.push_back({{"stage", key},
                   {"name", stage_name(key, style)},
                   {"enter", enter_json(stage.enter, write)},
                   {"interval", interval_json(stage.enter, members, write)},
                   {"share", tidy(stage.share)}});
  }
  return out;
}

ordered_json generation_json(const pest::Dossier& pest, const phenology::GenerationCalendar& generation, std::size_t members,
                             const WriteTime& write, const words::Style& style) {
  ordered_json out{{"generation", generation.number},
                   {"partial", or_null(generation.partial)},
                   {"complete_share", tidy(generation.complete.mean)},
                   {"resting_share", tidy(generation.resting.mean)},
                   {"laid_share", tidy(generation.laid.mean)}};
  out["shares_interval"] = members < 2 ? ordered_json(nullptr)
                                       : ordered_json{{"complete", share_json(generation.complete)},
                                                      {"resting", share_json(generation.resting)},
                                                      {"laid", share_json(generation.laid)}};
  out["stages"] = stages_json(pest, generation.stages, members, write, style);
  return out;
}

ordered_json biofix_why_json(const phenology::BiofixFound& biofix, const words::Style& style) {
  return {{"code", biofix.code}, {"text", words::say({biofix.code, biofix.facts}, style)}};
}

ordered_json event_json(const pest::Dossier& pest, const phenology::NextEvent& event, const words::Style& style) {
  const std::string& key = pest.stages[event.stage].key;
  const auto day = as_days();
  return {{"generation", event.generation},   {"stage", key},
          {"name", stage_name(key, style)},   {"mark", mark_names[event.mark]},
          {"share", mark_shares[event.mark]}, {"date", day(event.when.at)},
          {"early", day(event.when.early)},   {"late", day(event.when.late)},
          {"members", event.when.reached},    {"text", event_text(pest, event, style)}};
}

ordered_json comparison_json(const pest::Dossier& pest, const app::SeasonComparison& comparison, bool days, const words::Style& style) {
  ordered_json dates = ordered_json::array();
  for (const auto& key : comparison.dates)
    dates.push_back({{"generation", key.generation},
                     {"stage", pest.stages[key.stage].key},
                     {"name", stage_name(pest.stages[key.stage].key, style)},
                     {"this_year", day_json(key.this_year)},
                     {"normal", day_json(key.normal)},
                     {"earliest", day_json(key.earliest)},
                     {"latest", day_json(key.latest)},
                     {"years", key.years},
                     {"last_year", day_json(key.last_year)},
                     {"days_ahead_of_normal", or_null(key.days_ahead_of_normal)},
                     {"days_ahead_of_last_year", or_null(key.days_ahead_of_last_year)}});
  return {{"years", comparison.years},
          {"heat", comparison.heat ? heat_json(*comparison.heat, days) : ordered_json(nullptr)},
          {"dates", std::move(dates)}};
}

}  // namespace leafturn::render
