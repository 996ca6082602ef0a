#include <nlohmann/json.hpp>

#include "render/dossier_check.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {

std::string dossier_check_json(const app::DossierReport& report, const words::Style& style) {
  using nlohmann::ordered_json;
  static constexpr const char* kinds[] = {"pest", "friend", "crop", "active"};
  ordered_json known = ordered_json::object();
  for (const auto& [how, count] : report.by_known) known[std::string(pest::word_for(how))] = count;
  return json_text(ordered_json{{"dossier", report.id},
                                {"kind", kinds[static_cast<std::size_t>(report.kind)]},
                                {"scientific", report.scientific},
                                {"figures", report.figures},
                                {"by_known", known},
                                {"remarks", reasons_json(report.remarks, style)},
                                {"gaps", report.gaps},
                                {"sources", report.citations}});
}

}  // namespace leafturn::render
