#include "core/garden/event.hpp"

#include <array>

namespace leafturn::garden {

Instant Heading::at() const {
  if (!clock_offset) return happened_at;
  const bool told = *clock_offset >= Duration::minutes(1) || *clock_offset <= Duration::minutes(-1);
  return told ? happened_at - *clock_offset : happened_at;
}

std::string_view kind_word(const Payload& payload) {
  constexpr std::array<std::string_view, std::variant_size_v<Payload>> words{
      "garden_described", "bed_laid",     "planting_sown",      "planting_removed", "count_taken",
      "work_done",        "application",  "harvest_taken",      "harvest_planned",  "card_copied",
      "weather_added",    "bed_released", "application_judged", "equipment_kept",   "catch_test",
      "stock_counted",    "bed_entered",  "spray_begun",        "agency_answered",  "amended"};
  return words[payload.index()];
}

std::optional<Saying> saying_of(const Payload& payload) {
  return std::visit(
      [](const auto& said) -> std::optional<Saying> {
        if constexpr (std::is_same_v<std::decay_t<decltype(said)>, Amended>)
          return std::nullopt;
        else
          return Saying{said};
      },
      payload);
}

bool Told::any() const {
  return method || flowers || handler || produce || organic || enclosed || nearest_person || release_height || droplets || water;
}

bool Used::told() const {
  return amount || area || mixed || leftover || !lot.empty() || !equipment.empty() || !nozzle.empty() || !method.empty() || type ||
         growth_stage || !why.empty() || !system_plan.empty();
}

std::optional<Amount> Used::applied() const {
  if (!amount || !leftover) return amount;
  if (!mixed || !(mixed->litres() > 0.0)) return std::nullopt;
  const double share = (*mixed - *leftover) / *mixed;
  return std::visit([&](const auto& whole) -> Amount { return whole * share; }, *amount);
}

}  // namespace leafturn::garden
