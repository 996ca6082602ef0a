/// The counting page: one file with everything in it, the garden's beds, pests and words too, in both languages.
#include <array>
#include <nlohmann/json.hpp>

#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

/// The words a counting page says.
ordered_json words_of(words::Language language) {
  static constexpr std::array<std::string_view, 7> beginnings{"counting.",    "pages.common.",   "pages.count.", "pages.sync.",
                                                              "pages.queue.", "pages.settings.", "format."};
  ordered_json out = ordered_json::object();
  for (const auto& [key, text] : words::all(language))
    for (const auto beginning : beginnings)
      if (key.starts_with(beginning)) out[key] = text;
  return out;
}

/// As inside a script element, where nothing may look like the end of it: `<` only ever stands in JSON's texts.
std::string for_script(const ordered_json& value) {
  std::string out;
  for (const char c : value.dump()) out += c == '<' ? std::string{"\\u003c"} : std::string{c};
  return out;
}

}  // namespace

Response get_counting(Site& site, const Request& request) {
  auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  ordered_json inside = ordered_json::object();
  for (const auto& [word, language] : {std::pair{"en", words::Language::en}, std::pair{"es", words::Language::es}}) {
    asked->style.language = language;
    const auto told = garden_json(site, *asked);
    if (!told) return error_response(told.error(), request);
    auto garden = ordered_json::parse(*told);
    for (const char* unneeded : {"cards", "crops"}) garden.erase(unneeded);
    for (auto& pest : garden["pests"]) pest.erase("stages");
    inside[word] = {{"garden", std::move(garden)}, {"words", words_of(language)}};
  }
  Response response;
  response.type = "text/html; charset=utf-8";
  response.body = std::string{page_bytes("counting.html")};
  const std::string_view place = "@GARDEN@";
  response.body.replace(response.body.find(place), place.size(), for_script(inside));
  response.headers["Content-Security-Policy"] = std::string{page_bytes("policy.txt")} + "; frame-ancestors 'none'";
  return response;
}

}  // namespace leafturn::server
