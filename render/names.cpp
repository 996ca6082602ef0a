#include "render/names.hpp"

namespace leafturn::render {

std::string phrase(const std::string& key, std::string_view otherwise, const words::Style& style) {
  return words::has_key(key, style.language) ? words::say_key(key, style) : std::string(otherwise);
}

std::string pest_name(const pest::Dossier& pest, const words::Style& style) { return phrase("pest." + pest.id + ".name", pest.id, style); }

std::string stage_name(std::string_view stage, const words::Style& style) { return phrase("stage." + std::string(stage), stage, style); }

std::string crop_name(std::string_view eppo, const words::Style& style) { return phrase("crop." + std::string(eppo), eppo, style); }

std::string capital(std::string text) {
  if (text.empty()) return text;
  if (text[0] >= 'a' && text[0] <= 'z') {
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  } else if (text.size() > 1 && static_cast<unsigned char>(text[0]) == 0xC3U && static_cast<unsigned char>(text[1]) >= 0xA0U) {
    text[1] = static_cast<char>(static_cast<unsigned char>(text[1]) - 0x20U);
  }
  return text;
}

}  // namespace leafturn::render
