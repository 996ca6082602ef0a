#include "render/cautions.hpp"

#include <algorithm>

namespace leafturn::render {

std::vector<std::string> product_cautions(const words::Style& style) {
  std::vector<std::string> out;
  for (const char* key : {"label_is_law", "crop_on_label", "never_more", "wear", "weather", "bees", "stay_out", "no_early_harvest",
                          "poisoning", "disposal", "home_remedies", "advice_not_licence"})
    out.push_back(words::say_key(std::string("caution.") + key, style));
  return out;
}

std::vector<std::string> cautions(const app::BriefAnswer& answer, const words::Style& style) {
  const bool product = std::any_of(answer.brief.beds.begin(), answer.brief.beds.end(), [](const decision::BedBrief& bed) {
    return !bed.refused.empty() || std::any_of(bed.options.begin(), bed.options.end(), [](const auto& o) { return o.card.has_value(); });
  });
  std::vector<std::string> out;
  if (product)
    for (const char* key : {"caution.label_is_law", "caution.stay_out", "caution.poisoning"}) out.push_back(words::say_key(key, style));
  out.push_back(words::say_key("caution.advice_not_licence", style));
  return out;
}

}  // namespace leafturn::render
