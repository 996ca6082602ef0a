#include <nlohmann/json.hpp>

#include "render/parts_json.hpp"
#include "render/spray_work.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

ordered_json given(const std::optional<std::string>& text) { return text ? ordered_json(*text) : ordered_json(nullptr); }

// L → mL; grams stay.
const char* product_key(bool weighs) { return weighs ? "product_g" : "product_ml"; }
double product(double base, bool weighs) { return tidy(weighs ? base : base * 1e3); }

ordered_json readings_json(const spray::Load& load, bool weighs, const words::Style& style) {
  ordered_json out = ordered_json::array();
  for (const spray::Reading& r : load.readings)
    out.push_back({{"measure", r.measure.key},
                   {product_key(weighs), product(r.measured, weighs)},
                   {"fillings", r.fillings},
                   {"graduations", r.graduations},
                   {"text", reading_text(r, style)}});
  return out;
}

}  // namespace

std::string calibrate_json(const app::CalibrateAnswer& answer) {
  const auto& asked = answer.asked;
  return json_text(ordered_json{{"flow", given(asked.flow)},
                                {"speed", given(asked.speed)},
                                {"width", given(asked.width)},
                                {"volume", given(asked.volume)},
                                {"area", given(asked.area)},
                                {"litres_per_hectare", tidy(answer.gives.litres_per_hectare())},
                                {"gallons_per_acre", tidy(answer.gives.gallons_per_acre())},
                                {"area_per_gallon_ft2", tidy(answer.per_gallon.square_feet())},
                                {"area_per_10_l_m2", tidy(answer.per_ten_litres.square_metres())}});
}

std::string mix_json(const app::MixAnswer& answer, const words::Style& style) {
  const spray::Mixed& mixed = answer.mixed;
  const auto& asked = answer.asked;
  ordered_json loads = ordered_json::array();
  for (const spray::Load& load : mixed.loads)
    loads.push_back({{product_key(mixed.weighs), product(load.wanted, mixed.weighs)},
                     {"measured", product(load.product, mixed.weighs)},
                     {"water_l", tidy(load.water.litres())},
                     {"finished_l", tidy(load.finished.litres())},
                     {"measures", readings_json(load, mixed.weighs, style)}});
  return json_text(ordered_json{{"rate", asked.rate},
                                {"least", given(asked.least)},
                                {"carrier", given(asked.carrier)},
                                {"area", given(asked.area)},
                                {"volume", given(asked.volume)},
                                {"tank", given(asked.tank)},
                                {product_key(mixed.weighs), product(mixed.wanted, mixed.weighs)},
                                {"water_l", tidy(mixed.water.litres())},
                                {"finished_l", tidy(mixed.finished.litres())},
                                {"loads", loads},
                                {"measures", readings_json(mixed.loads.front(), mixed.weighs, style)}});
}

}  // namespace leafturn::render
