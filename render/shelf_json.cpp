#include "render/shelf.hpp"

#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/print.hpp"
#include "render/table.hpp"

namespace leafturn::render {

using nlohmann::ordered_json;

std::string shelf_text(const app::ShelfAnswer& answer, const words::Style& style) {
  const auto key = [&](const char* k) { return words::say_key(k, style); };
  if (answer.lots.empty()) return key("shelf.none") + "\n";
  Table table;
  for (const char* column :
       {"shelf.product", "shelf.which", "shelf.counted", "shelf.left", "shelf.opened", "shelf.expires", "shelf.remark"})
    table.column(key(column));
  for (const auto& lot : answer.lots) {
    std::string remark;
    const auto add = [&](const std::string& text) { remark += (remark.empty() ? "" : " ") + text; };
    if (lot.expired) add(words::say({"shelf.expired", {{"day", lot.expires->iso()}}}, style));
    if (lot.negative) add(key("shelf.negative"));
    if (lot.other_kind) add(key("shelf.other_kind"));
    const auto day = [](const std::optional<Date>& date) { return date ? date->iso() : std::string("–"); };
    table.row({lot.product, lot.lot.empty() ? key("shelf.no_lot") : lot.lot, amount_text(lot.counted, style), amount_text(lot.left, style),
               day(lot.opened), day(lot.expires), remark});
  }
  return table.text();
}

std::string shelf_json(const app::ShelfAnswer& answer) {
  ordered_json out = ordered_json::array();
  const auto put = [](ordered_json& into, const std::string& name, const garden::Amount& amount) {
    if (const auto* mass = std::get_if<Mass>(&amount))
      into[name + "_g"] = tidy(mass->grams());
    else
      into[name + "_l"] = tidy(std::get<Volume>(amount).litres());
  };
  for (const auto& lot : answer.lots) {
    ordered_json one{{"product", lot.product}, {"lot", lot.lot}};
    put(one, "counted", lot.counted);
    put(one, "left", lot.left);
    one["negative"] = lot.negative;
    one["expired"] = lot.expired;
    one["opened"] = day_json(lot.opened);
    one["expires"] = day_json(lot.expires);
    out.push_back(std::move(one));
  }
  return json_text(out);
}

}  // namespace leafturn::render
