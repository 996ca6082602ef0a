#include <nlohmann/json.hpp>

#include "render/dossier_page.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {

std::string page_json(const pest::Dossier& pest, const std::string& page, const words::Style& style) {
  return json_text(nlohmann::ordered_json{{"pest", pest.id}, {"page", page}, {"drawing", rate_curves_svg(pest, style)}});
}

std::string files_written(const std::vector<std::string>& paths, bool json, const words::Style& style) {
  if (json) return json_text(nlohmann::ordered_json{{"files", paths}});
  std::string out;
  for (const auto& path : paths) out += words::say({"dossier_page.written", {{"file", path}}}, style) + "\n";
  return out;
}

}  // namespace leafturn::render
