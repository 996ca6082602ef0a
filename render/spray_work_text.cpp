#include <cmath>

#include "render/names.hpp"
#include "render/spray_work.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string paragraph(const Reason& reason, const words::Style& style) { return wrapped(words::say(reason, style), page_width, 0) + "\n"; }

// As fine as the vessel is marked.
int decimals(const spray::Measure& m) {
  if (m.us) return 2;
  const double marks = m.weighs ? m.graduation : m.graduation * 1e3;
  return marks < 1.0 ? 1 : 0;
}

// Both systems side by side, whatever was typed.
std::vector<Fact> both(const char* litres, const char* gallons, Volume v) {
  return {{litres, Number{v.litres(), 2}}, {gallons, Number{v.gallons(), 2}}};
}

// Loads that are alike are said once.
bool alike(const spray::Load& a, const spray::Load& b) {
  return std::abs(a.finished.litres() - b.finished.litres()) < 1e-9 && std::abs(a.product - b.product) < 1e-9;
}

}  // namespace

std::string reading_text(const spray::Reading& r, const words::Style& style) {
  const std::string key = "spray.measure." + std::string(r.measure.key);
  const std::string vessel = words::say_key(key + ".name", style);
  const auto amount = [&](int graduations) {
    // In the unit the vessel is marked in: millilitres, grams, teaspoons, tablespoons, fluid ounces.
    const double base = graduations * r.measure.graduation;
    double n = r.measure.weighs ? base : base * 1e3;
    if (r.measure.key == "quarter_teaspoon") n = Volume::litres(base).teaspoons();
    if (r.measure.key == "tablespoon") n = Volume::litres(base).tablespoons();
    if (r.measure.us && r.measure.key != "quarter_teaspoon" && r.measure.key != "tablespoon") n = Volume::litres(base).fluid_ounces();
    return words::say({key + ".amount", {{"n", Number{n, decimals(r.measure)}}}}, style);
  };
  std::vector<Fact> facts{{"vessel", vessel}};
  if (r.fillings == 0) {
    facts.push_back({"amount", amount(r.graduations)});
    return words::say({"spray.reading.one", facts}, style);
  }
  facts.push_back({"times", std::int64_t{r.fillings}});
  if (r.graduations == 0) return words::say({"spray.reading.full", facts}, style);
  facts.push_back({"amount", amount(r.graduations)});
  return words::say({"spray.reading.full_and", facts}, style);
}

std::string calibrate_text(const app::CalibrateAnswer& answer, const words::Style& style) {
  return paragraph(
             {"spray.gives", {{"l_ha", Number{answer.gives.litres_per_hectare(), 1}}, {"gpa", Number{answer.gives.gallons_per_acre(), 2}}}},
             style) +
         paragraph({"spray.covers",
                    {{"ft2", Number{answer.per_gallon.square_feet(), 0}}, {"m2", Number{answer.per_ten_litres.square_metres(), 1}}}},
                   style) +
         paragraph({"spray.calibrate_with_water", {}}, style);
}

std::string mix_text(const app::MixAnswer& answer, const words::Style& style) {
  const spray::Mixed& mixed = answer.mixed;
  auto title = both("l", "gal", mixed.finished);
  title.push_back({"rate", answer.asked.rate});
  std::string out = paragraph({"spray.mix_title", std::move(title)}, style) + "\n";
  for (std::size_t i = 0; i < mixed.loads.size();) {
    const spray::Load& load = mixed.loads[i];
    std::size_t same = 1;
    while (i + same < mixed.loads.size() && alike(load, mixed.loads[i + same])) ++same;
    auto facts = both("l", "gal", load.water);
    for (Fact& fact : both("all_l", "all_gal", load.finished)) facts.push_back(std::move(fact));
    facts.push_back({"n", static_cast<std::int64_t>(same)});
    out += paragraph({"spray.load", std::move(facts)}, style);
    for (const spray::Reading& r : load.readings) out += "  " + wrapped(reading_text(r, style), page_width, 2) + "\n";
    i += same;
  }
  return out + "\n" + paragraph({"spray.mix_order", {}}, style) + paragraph({"spray.mix_label", {}}, style);
}

}  // namespace leafturn::render
