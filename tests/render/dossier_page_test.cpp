// The pages under docs/pests are what the program makes of its dossiers today.
#include "render/dossier_page.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "core/pest/sources.hpp"
#include "io/dossier_toml.hpp"
#include "tests/support/data.hpp"

namespace leafturn {
namespace {

const pest::Library& library() {
  static const auto found = io::built_in_library();
  return *found;
}

std::string page(const std::string& name) {
  const std::string path = test::source_path("docs/pests/" + name);
  return std::filesystem::exists(path) ? test::read_file(path) : std::string{};
}

TEST(DossierPage, the_pages_on_file_are_those_of_today) {
  const words::Style style;
  const char* mend = "run scripts/dossier-pages and commit docs/pests";
  EXPECT_EQ(page("README.md"), render::pest_index_markdown(library(), style)) << mend;
  EXPECT_EQ(page("actives.md"), render::actives_page_markdown(library(), style)) << mend;
  for (const auto& d : library().pests) {
    EXPECT_EQ(page(d.id + ".md"), render::pest_page_markdown(d, style)) << mend;
    EXPECT_EQ(page(d.id + ".svg"), render::rate_curves_svg(d, style)) << mend;
  }
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(test::source_path("docs/pests"))) files += entry.is_regular_file() ? 1U : 0U;
  EXPECT_EQ(files, 2 + 2 * library().pests.size()) << "a page without a dossier; " << mend;
}

TEST(DossierPage, every_citation_and_every_gap_of_a_dossier_stands_on_its_page) {
  for (const auto language : {words::Language::en, words::Language::es}) {
    words::Style style;
    style.language = language;
    for (const auto& d : library().pests) {
      const std::string text = render::pest_page_markdown(d, style);
      EXPECT_EQ(text.find("\u27e6"), std::string::npos) << d.id << " has a word missing";
      for (const auto& gap : d.gaps) EXPECT_NE(text.find(gap), std::string::npos) << d.id << ": " << gap;
      for (const auto& one : pest::figures_of(d)) {
        // The spread of a stage and the parts of a linear rate share one cell with the rate itself.
        if (one.what.starts_with("stage.") || one.what == "eppo") continue;
        EXPECT_NE(text.find(one.source->citation), std::string::npos) << d.id << " " << one.what;
      }
    }
  }
}

TEST(DossierPage, curves_stay_on_the_paper) {
  for (const auto& d : library().pests) {
    const std::string svg = render::rate_curves_svg(d, {});
    EXPECT_EQ(svg.find("nan"), std::string::npos) << d.id;
    EXPECT_EQ(svg.find("inf"), std::string::npos) << d.id;
    EXPECT_EQ(svg.find(",-"), std::string::npos) << d.id << " draws above the paper";
    EXPECT_NE(svg.find("class=\"curve c0\""), std::string::npos) << d.id;
  }
}

}  // namespace
}  // namespace leafturn
