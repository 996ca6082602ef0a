#include <nlohmann/json.hpp>

#include "render/text_json.hpp"

namespace leafturn::render {
namespace {

std::string_view word_for(store::Receipt::Kind kind) {
  switch (kind) {
    case store::Receipt::Kind::appended:
      return "appended";
    case store::Receipt::Kind::had_it:
      return "had-it";
    case store::Receipt::Kind::quarantined:
      return "quarantined";
  }
  return "";
}

}  // namespace

std::string json_text(const nlohmann::ordered_json& value) {
  return value.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string json_text(const nlohmann::json& value) { return value.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n"; }

nlohmann::ordered_json receipt_value(const store::Receipt& receipt) {
  return {{"id", receipt.id.text()}, {"seq", receipt.seq}, {"link", receipt.link.hex()}, {"kind", word_for(receipt.kind)}};
}

}  // namespace leafturn::render
