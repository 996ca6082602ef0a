#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/spray_hours.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;
using spray::LimitFound;

struct InUnits {
  ordered_json number;
  const char* unit;
};

// A limit's number in the unit its JSON names: km/h as weather answers have it.
InUnits in_units(const std::optional<FactValue>& value, spray::Limit limit) {
  if (!value) return {nullptr, ""};
  if (const auto* v = std::get_if<Speed>(&*value)) return {tidy(v->kilometres_per_hour()), "km/h"};
  if (const auto* t = std::get_if<Temperature>(&*value)) return {tidy(t->celsius()), "C"};
  if (const auto* s = std::get_if<Share>(&*value)) return {tidy(100.0 * s->value), "%"};
  if (const auto* l = std::get_if<Length>(&*value))
    return limit == spray::Limit::people ? InUnits{tidy(l->metres()), "m"} : InUnits{tidy(l->millimetres()), "mm"};
  if (const auto* n = std::get_if<Number>(&*value)) {
    const char* unit = limit == spray::Limit::rain ? "h" : limit == spray::Limit::sun ? "deg" : "K";
    return {tidy(n->value), unit};
  }
  return {nullptr, ""};
}

ordered_json limit_json(const LimitFound& found, const words::Style& style) {
  const InUnits value = in_units(found.value, found.limit);
  const InUnits bound = in_units(found.bound, found.limit);
  const std::string unit = *bound.unit != 0 ? bound.unit : value.unit;
  return {{"limit", spray::word_for(found.limit)},
          {"state", spray::word_for(found.state)},
          {"value", value.number},
          {"bound", bound.number},
          {"unit", unit.empty() ? ordered_json(nullptr) : ordered_json(unit)},
          {"from_label", found.label},
          {"source", found.label ? ordered_json(nullptr) : ordered_json(found.source)},
          {"known", found.label ? ordered_json(nullptr) : ordered_json(std::string(pest::word_for(found.known)))},
          {"code", found.code},
          {"text", words::say(spray::reason_of(found), style)}};
}

ordered_json limits_json(const std::vector<LimitFound>& limits, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const LimitFound& found : limits) out.push_back(limit_json(found, style));
  return out;
}

ordered_json chance_json(const std::optional<double>& chance) { return chance ? ordered_json(tidy(*chance)) : ordered_json(nullptr); }

ordered_json told(const std::optional<bool>& answer) { return answer ? ordered_json(*answer) : ordered_json(nullptr); }

}  // namespace

std::string spray_hours_json(const app::SprayHoursAnswer& answer, const words::Style& style) {
  const Zone& zone = answer.zone;
  ordered_json hours = ordered_json::array();
  for (std::size_t h = 0; h < answer.found.hours.size(); ++h) {
    const auto& hour = answer.found.hours[h];
    hours.push_back({{"time", zone.iso(hour.at)},
                     {"open", hour.state == spray::HourState::open},
                     {"state", spray::word_for(hour.state)},
                     {"chance", chance_json(answer.found.chances[h])},
                     {"limits", limits_json(hour.limits, style)}});
  }
  ordered_json windows = ordered_json::array();
  for (const auto& window : answer.found.windows)
    windows.push_back({{"start", zone.iso(window.start)}, {"end", zone.iso(window.end)}, {"chance", chance_json(window.chance)}});
  ordered_json compromise = nullptr;
  if (answer.found.compromise) {
    const auto& best = *answer.found.compromise;
    compromise = {{"start", zone.iso(best.start)},
                  {"end", zone.iso(best.end)},
                  {"gives", limits_json(best.gives, style)},
                  {"costs", reasons_json(best.costs, style)}};
  }
  return json_text(ordered_json{{"product", answer.card.product},
                                {"bed", answer.bed ? ordered_json(*answer.bed) : ordered_json(nullptr)},
                                {"crop", answer.crop ? ordered_json(*answer.crop) : ordered_json(nullptr)},
                                {"works", spray::word_for(answer.limits.works)},
                                {"in_flower", told(answer.around.in_flower)},
                                {"drought", told(answer.around.drought)},
                                {"from", zone.iso(answer.from)},
                                {"told_by", answer.told_by},
                                {"members", answer.members},
                                {"hours", hours},
                                {"windows", windows},
                                {"compromise", compromise},
                                {"asks", reasons_json(answer.asks, style)},
                                {"notes", reasons_json(answer.notes, style)},
                                {"never_permission", words::say_key("spray_hours.never_permission", style)}});
}

std::string spray_start_json(const app::StartAnswer& answer, const words::Style& style) {
  const spray::StartFound& found = answer.found;
  const bool for_a_reason = !found.may && found.not_told() == nullptr && found.forbidden() == nullptr;
  const char* said = found.may ? "spray_hours.may_start" : for_a_reason ? "spray_hours.start_for_a_reason" : "spray_hours.do_not_start";
  return json_text(ordered_json{{"product", answer.card.product},
                                {"bed", answer.bed},
                                {"at", answer.zone.iso(answer.at)},
                                {"may", found.may},
                                {"for_a_reason", for_a_reason},
                                {"people_distance_m", tidy(found.people.metres())},
                                {"limits", limits_json(found.limits, style)},
                                {"text", words::say_key(said, style)}});
}

}  // namespace leafturn::render
