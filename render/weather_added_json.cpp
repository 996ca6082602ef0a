#include "render/parts_json.hpp"
#include "render/weather_added.hpp"

namespace leafturn::render {

namespace {

nlohmann::ordered_json value_of(const app::AddedWeather& added, const words::Style& style) {
  nlohmann::ordered_json out{{"name", added.name},
                             {"text", added.text.hex()},
                             {"appended", added.receipt.has_value()},
                             {"days", added.days},
                             {"first", added.first.iso()},
                             {"last", added.last.iso()},
                             {"issued", day_json(added.issued)},
                             {"notes", reasons_json(added.notes, style)}};
  out["receipt"] = added.receipt ? receipt_value(*added.receipt) : nlohmann::ordered_json(nullptr);
  return out;
}

}  // namespace

std::string weather_added_json(const app::AddedWeather& added, const words::Style& style) { return json_text(value_of(added, style)); }

std::string weather_fetched_json(const app::FetchedWeather& fetched, const words::Style& style) {
  auto out = value_of(fetched.added, style);
  out["address"] = fetched.address;
  out["unchanged"] = fetched.unchanged;
  out["stale_since"] = fetched.stale_since ? nlohmann::ordered_json(fetched.stale_since->iso_utc()) : nlohmann::ordered_json(nullptr);
  return json_text(out);
}

}  // namespace leafturn::render
