#include "render/dossier_check.hpp"
#include "render/names.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string bullet(const std::string& text) { return "  " + wrapped(text, page_width, 4) + "\n"; }

std::string kind_key(app::DossierReport::Kind kind) {
  switch (kind) {
    case app::DossierReport::Kind::ally:
      return "dossier_check.kind_friend";
    case app::DossierReport::Kind::crop:
      return "dossier_check.kind_crop";
    case app::DossierReport::Kind::active:
      return "dossier_check.kind_active";
    case app::DossierReport::Kind::pest:
      break;
  }
  return "dossier_check.kind_pest";
}

}  // namespace

std::string dossier_check_text(const app::DossierReport& report, const words::Style& style) {
  std::string out = report.id + (report.scientific.empty() ? "" : " (" + report.scientific + ")") + ": " +
                    words::say_key(kind_key(report.kind), style) + "\n";
  out += words::say(
             {"dossier_check.figures",
              {{"figures", static_cast<std::int64_t>(report.figures)}, {"sources", static_cast<std::int64_t>(report.citations.size())}}},
             style) +
         "\n";
  for (const auto& [known, count] : report.by_known) {
    const std::string word(pest::word_for(known));
    out += bullet(std::to_string(count) + " " + phrase("known." + word, word, style));
  }
  const auto section = [&](const char* key, const std::string& body) {
    if (!body.empty()) out += "\n" + words::say_key(key, style) + "\n" + body;
  };
  std::string remarks, gaps, sources;
  for (const auto& remark : report.remarks) remarks += bullet(words::say(remark, style));
  for (const auto& gap : report.gaps) gaps += bullet(gap);
  for (const auto& citation : report.citations) sources += bullet(citation);
  section("dossier_check.remarks", remarks);
  section("pest_page.gaps", gaps);
  section("pest_page.sources", sources);
  return out;
}

}  // namespace leafturn::render
