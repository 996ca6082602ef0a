// docs/card.schema.json against the reader and against the form of a whole card: what one knows the others know.
#include <nlohmann/json.hpp>

#include "core/label/fields.hpp"
#include "io/card_toml.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

using nlohmann::json;

json schema() { return json::parse(test::read_file(test::source_path("docs/card.schema.json"))); }

std::string toml(const json& value) {
  std::string out;
  if (value.is_object()) {
    for (const auto& [key, one] : value.items()) out += (out.empty() ? "{ " : ", ") + key + " = " + toml(one);
    return out + " }";
  }
  if (!value.is_array()) return value.dump();
  for (const auto& one : value) out += (out.empty() ? "[" : ", ") + toml(one);
  return out + "]";
}

/// A card that holds one key, in its block.
std::string card_with(const std::string& block, const std::string& key, const std::string& value) {
  const auto line = [&](const char* wanted) { return block == wanted ? key + " = " + value + "\n" : std::string{}; };
  std::string out = "[card]\n" + line("card");
  if (!(block == "card" && key == "product")) out += "product = \"Demo\"\n";
  if (block == "active") out += "[[active]]\n" + line("active") + (key == "name" ? "" : "name = \"soap\"\n");
  if (block == "use") out += "[[use]]\n" + line("use") + (key == "crops" ? "" : "crops = [\"BRSOK\"]\n");
  if (block == "conditions") out += "[conditions]\n" + line("conditions");
  return out;
}

const json& properties_of(const json& schema, const std::string& block) {
  const json& at = schema["properties"][block];
  return at.contains("items") ? at["items"]["properties"] : at["properties"];
}

const std::vector<std::string> blocks = {"card", "active", "use", "conditions"};

TEST(CardSchema, EveryKeyIsReadAndEveryExampleIsTaken) {
  const json all = schema();
  for (const std::string& block : blocks)
    for (const auto& [key, property] : properties_of(all, block).items()) {
      ASSERT_TRUE(property.contains("examples") && !property["examples"].empty()) << block << "." << key;
      for (const json& example : property["examples"]) {
        const CardDraft draft = draft_card_toml(card_with(block, key, toml(example)), "c.toml");
        EXPECT_TRUE(draft.errors.empty()) << block << "." << key << " = " << toml(example) << ": "
                                          << (draft.errors.empty() ? "" : draft.errors.front().code);
        if (block != "conditions") {
          EXPECT_TRUE(draft.card.others.empty()) << block << "." << key << " is not read but kept";
        }
      }
    }
}

TEST(CardSchema, EveryKeyIsRefusedWhereItIsNonsense) {
  const json all = schema();
  for (const std::string& block : blocks)
    for (const auto& [key, property] : properties_of(all, block).items()) {
      const CardDraft draft = draft_card_toml(card_with(block, key, "[{ x = 1 }]"), "c.toml");
      ASSERT_FALSE(draft.errors.empty()) << block << "." << key;
      EXPECT_NE(draft.errors.front().where.field.find("." + key), std::string::npos) << draft.errors.front().where.field;
      EXPECT_GT(draft.errors.front().where.line, 0);
    }
}

TEST(CardSchema, EveryLineOfAWholeCardIsInIt) {
  const json all = schema();
  for (const label::CardField& field : label::card_fields()) {
    const std::string key{field.key.substr(0, field.key.find('.'))};
    using Block = label::CardField::Block;
    const std::string block = field.block == Block::use ? "use" : field.block == Block::conditions ? "conditions" : "card";
    if (key == "active") continue;
    EXPECT_TRUE(properties_of(all, block).contains(key)) << block << "." << key;
  }
}

TEST(CardSchema, ThePageTellsEveryKey) {
  const std::string page = test::read_file(test::source_path("docs/card.md"));
  const json all = schema();
  for (const std::string& block : blocks)
    for (const auto& [key, property] : properties_of(all, block).items()) {
      const std::string stem = key.ends_with("_c") || key.ends_with("_m") ? key.substr(0, key.size() - 2)
                               : key.ends_with("_kmh")                    ? key.substr(0, key.size() - 4)
                                                                          : key;
      EXPECT_NE(page.find("`" + stem), std::string::npos) << key;
    }
}

}  // namespace
}  // namespace leafturn::io
