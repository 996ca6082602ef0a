#include <algorithm>
#include <nlohmann/json.hpp>

#include "render/checkup.hpp"
#include "render/ledger_parts_json.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {

using nlohmann::ordered_json;

std::string restored_json(const app::Restored& restored, Instant now, const words::Style& style) {
  const auto time = [&](const std::optional<Instant>& at) { return at ? ordered_json(restored.zone.iso(*at)) : ordered_json(nullptr); };
  const garden::Garden& g = restored.garden;
  ordered_json out = verification_value(restored.verification, style);
  out["ok"] = restored.yes();
  out["has_head"] = restored.has_head;
  out["garden"] = g.described ? ordered_json(g.described->name) : ordered_json(nullptr);
  out["beds"] = g.beds.size();
  out["plantings"] = g.plantings.size();
  out["counts"] = g.counts.size();
  out["applications"] = g.applications.size();
  out["harvests"] = g.harvests.size();
  out["cards"] = g.cards.size();
  out["weather_files"] = g.weather.size();
  out["guests"] = restored.guests;
  out["missing_texts"] = restored.missing;
  out["first_received"] = time(restored.first);
  out["last_received"] = time(restored.last);
  out["age_days"] = restored.last ? ordered_json(std::max(0.0, (now - *restored.last).in_days())) : ordered_json(nullptr);
  out["folder"] = restored.folder.empty() ? ordered_json(nullptr) : ordered_json(restored.folder);
  return json_text(out);
}

std::string guests_json(const std::vector<store::Guest>& guests) {
  ordered_json out = ordered_json::array();
  for (const store::Guest& guest : guests)
    out.push_back({{"name", guest.name},
                   {"origin", guest.origin.hex()},
                   {"since", guest.since.iso_utc()},
                   {"events", guest.events},
                   {"head", guest.head.hex()}});
  return json_text(ordered_json{{"guests", std::move(out)}});
}

std::string checkup_json(const app::Checkup& checkup, const words::Style& style) {
  ordered_json checks = ordered_json::array();
  for (const app::Finding& f : checkup.findings)
    checks.push_back({{"check", f.check},
                      {"state", state_word(f.state)},
                      {"text", words::say(f.text, style)},
                      {"do", f.advice ? ordered_json(words::say(*f.advice, style)) : ordered_json(nullptr)}});
  return json_text(ordered_json{{"ok", !checkup.bad()}, {"checks", std::move(checks)}});
}

}  // namespace leafturn::render
