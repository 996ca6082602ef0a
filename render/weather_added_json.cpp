#include "render/parts_json.hpp"
#include "render/weather_added.hpp"

namespace leafturn::render {

std::string weather_added_json(const app::AddedWeather& added, const words::Style& style) {
  nlohmann::ordered_json out{{"name", added.name},
                             {"text", added.text.hex()},
                             {"appended", added.receipt.has_value()},
                             {"days", added.days},
                             {"first", added.first.iso()},
                             {"last", added.last.iso()},
                             {"issued", day_json(added.issued)},
                             {"notes", reasons_json(added.notes, style)}};
  out["receipt"] = added.receipt ? receipt_value(*added.receipt) : nlohmann::ordered_json(nullptr);
  return json_text(out);
}

}  // namespace leafturn::render
