#include "core/label/fields.hpp"

#include <array>

namespace leafturn::label {
namespace {

using Block = CardField::Block;

struct Line {
  CardField field;
  bool (*copied)(const Card&, std::size_t);
};

template <auto member>
Line of_card(std::string_view key, bool own_rule = false) {
  return {{Block::card, key, own_rule}, [](const Card& c, std::size_t) { return (c.*member).is_copied(); }};
}
template <auto member>
Line of_conditions(std::string_view key) {
  return {{Block::conditions, key, false}, [](const Card& c, std::size_t) { return (c.conditions.*member).is_copied(); }};
}
template <auto member>
Line of_use(std::string_view key, bool own_rule) {
  return {{Block::use, key, own_rule}, [](const Card& c, std::size_t i) { return (c.uses[i].*member).is_copied(); }};
}

bool has_number(const Card& c, std::size_t) { return !c.registration.empty() || (c.exempt.value() != nullptr && *c.exempt.value()); }
bool has_actives(const Card& c, std::size_t) { return !c.actives.empty(); }

const std::array lines{
    Line{{Block::card, "registration", false}, has_number},
    of_card<&Card::exempt>("exempt"),
    of_card<&Card::expires>("expires"),
    Line{{Block::card, "active", false}, has_actives},
    of_card<&Card::restricted_use>("restricted_use"),
    of_card<&Card::signal>("signal_word"),
    of_card<&Card::first_aid>("first_aid"),
    of_card<&Card::emergency>("emergency"),
    of_card<&Card::ppe_handler>("ppe_handler"),
    of_card<&Card::agricultural_use>("agricultural_use"),
    of_card<&Card::ppe_early_entry>("ppe_early_entry"),
    of_card<&Card::setting>("setting", true),
    of_card<&Card::registered_in>("registered_in"),
    of_card<&Card::organic_listed>("organic_listed"),
    of_conditions<&Conditions::bees>("bees"),
    of_conditions<&Conditions::temp_min>("min_temp"),
    of_conditions<&Conditions::temp_max>("max_temp"),
    of_conditions<&Conditions::humidity_min>("min_humidity"),
    of_conditions<&Conditions::wind_min>("min_wind"),
    of_conditions<&Conditions::wind_max>("max_wind"),
    of_conditions<&Conditions::inversion_ban>("inversion_ban"),
    of_conditions<&Conditions::droplets>("droplets"),
    of_conditions<&Conditions::buffer>("buffer"),
    of_conditions<&Conditions::water_buffer>("water_buffer"),
    of_conditions<&Conditions::rainfast_hours>("rainfast_hours"),
    of_conditions<&Conditions::oil_sulfur_days>("oil_sulfur_days"),
    of_use<&Use::method>("method", false),
    of_use<&Use::pests>("pests", false),
    of_use<&Use::rate_min>("rate.min", true),
    of_use<&Use::rate_max>("rate.max", true),
    of_use<&Use::water_min>("water.min", false),
    of_use<&Use::water_max>("water.max", false),
    of_use<&Use::adjuvant>("adjuvant", false),
    of_use<&Use::growth_stage>("growth_stage", false),
    of_use<&Use::bloom_ban>("bloom_ban", false),
    of_use<&Use::greenhouse>("greenhouse", false),
    of_use<&Use::reentry>("reentry_hours", true),
    of_use<&Use::pre_harvest_days>("pre_harvest_days", true),
    of_use<&Use::feed_days>("feed_days", false),
    of_use<&Use::interval_days>("interval_days", true),
    of_use<&Use::max_applications>("max_applications", true),
    of_use<&Use::max_consecutive>("max_consecutive", false),
    of_use<&Use::max_product>("max_product", false),
    of_use<&Use::max_active>("max_active", false),
    of_use<&Use::plant_back>("plant_back", false),
    of_card<&Card::storage>("storage"),
    of_card<&Card::disposal>("disposal"),
};

const std::array<CardField, lines.size()> fields = [] {
  std::array<CardField, lines.size()> out;
  for (std::size_t i = 0; i < lines.size(); ++i) out[i] = lines[i].field;
  return out;
}();

std::string name_of(const CardField& field, std::size_t use) {
  if (field.block == Block::use) return "use[" + std::to_string(use + 1) + "]." + std::string(field.key);
  if (field.block == Block::conditions) return "conditions." + std::string(field.key);
  return field.key == "active" ? "active" : "card." + std::string(field.key);
}

}  // namespace

std::span<const CardField> card_fields() { return fields; }

bool is_copied(const Card& card, const CardField& field, std::size_t use) {
  for (const Line& line : lines)
    if (line.field.block == field.block && line.field.key == field.key) return line.copied(card, use);
  return false;
}

std::vector<std::string> missing_fields(const Card& card, std::span<const std::size_t> uses) {
  std::vector<std::string> missing;
  for (const Line& line : lines) {
    if (line.field.own_rule) continue;
    if (line.field.block != Block::use) {
      if (!line.copied(card, 0)) missing.push_back(name_of(line.field, 0));
      continue;
    }
    for (const std::size_t i : uses)
      if (!line.copied(card, i)) missing.push_back(name_of(line.field, i));
  }
  return missing;
}

}  // namespace leafturn::label
