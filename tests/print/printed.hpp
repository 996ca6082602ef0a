#pragma once
/// A demo garden with one spray on which everything is recorded, one on which little is, and an amendment; and paper as another program
/// reads it.

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <set>

#include "app/access.hpp"
#include "app/brief.hpp"
#include "app/import_garden.hpp"
#include "app/keep.hpp"
#include "app/record.hpp"
#include "paper/pdf.hpp"
#include "render/print.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {

inline Instant at(const char* text) { return Instant::parse(text).value(); }

/// `bytes` as poppler's pdftotext reads them. `raw`: words in the order they were drawn, whatever the columns.
inline std::string text_of_pdf(const std::string& bytes, const std::string& name, bool raw = false) {
  const std::string file = fresh_folder("printed-" + name) + "/page.pdf";
  std::ofstream(file, std::ios::binary) << bytes;
  return run_program("/usr/bin/pdftotext", {raw ? "-raw" : "-layout", file, "-"}).out;
}

/// Blanks and ends of lines count for nothing: paper breaks lines where it likes.
inline std::string squeezed(const std::string& text) {
  std::string out;
  for (const char c : text)
    if (c != ' ' && c != '\n' && c != '\f' && c != '\r') out += c;
  return out;
}
inline bool says(const std::string& page, const std::string& words) { return squeezed(page).find(squeezed(words)) != std::string::npos; }

class Printed : public testing::Test {
 protected:
  static constexpr const char* sprayed_at = "2026-06-08T19:30-05:00";
  static constexpr const char* today_at = "2026-06-11T06:30-05:00";

  void SetUp() override {
    folder_ = fresh_folder(std::string("print-") + testing::UnitTest::GetInstance()->current_test_info()->name()) + "/g";
    ASSERT_TRUE(app::make_demo(folder_, now_));
    garden_ = app::OpenGarden::open(folder_).value();
    access_ = app::Access::open(folder_).value();
    const auto rosa = access_->add("Rosa Ejemplo", "applicator", now_).value();
    rosa_ = rosa.id.text();
    ASSERT_TRUE(access_->note(rosa.id, {"yes", "2027-03-01", "CERT-0042", "1 Sample Lane, Nowhere", "120"}));
    const app::WhenAndWho before{"2026-06-01T09:00", rosa_};
    ASSERT_TRUE(app::write_equipment(*garden_, {"knapsack", "flat fan 02", "15L", ""}, before, now_));
    ASSERT_TRUE(app::write_catch_test(*garden_, {"knapsack", "flat fan 02", "40floz", "340ft2", {}, {}, {}, ""}, before, now_));
    ASSERT_TRUE(app::write_stock(*garden_, {"Demo Oil One", "A12", "500ml", "2026-04-02", "2028-01-31", ""}, before, now_));
    ASSERT_TRUE(app::write_count(*garden_, {"2", "imported-cabbageworm", "larva", "10", "14"}, {"2026-06-08T08:00", rosa_}, now_));
    ASSERT_TRUE(app::write_work(*garden_, "hand-pick", "2", "", {"2026-06-05T08:00", rosa_}, now_));
    const auto whole = app::write_spray(*garden_, garden::Application::State::made, everything(), {sprayed_at, rosa_}, now_);
    ASSERT_TRUE(whole) << whole.error().code << " " << whole.error().where.field;
    ASSERT_TRUE(whole->written);
    whole_ = whole->written->receipt.id;
  }
  /// A spray of which all is told that a rule asks for.
  static app::SprayTyped everything() {
    app::SprayTyped typed;
    typed.bed = "2";
    typed.product = "Demo Oil One";
    typed.rate = "1 floz/gal";
    typed.pest = "imported-cabbageworm";
    typed.used.amount = "2.8ml";
    typed.used.area = "9.6m2";
    typed.used.mixed = "0.36L";
    typed.used.leftover = "0.018L";
    typed.used.lot = "A12";
    typed.used.equipment = "knapsack";
    typed.used.nozzle = "flat fan 02";
    typed.used.method = "foliar";
    typed.used.use_type = "surface";
    typed.used.growth_stage = "45";
    typed.used.why = "Hand-picking twice left more than one larva a plant";
    typed.used.system_plan = "plan page 12";
    return typed;
  }
  app::RecordsAnswer records(const std::string& rule) {
    const auto answer = app::records(*garden_, *access_, {rule, "2026-01-01", "2026-12-31", at(today_at)}, now_);
    if (!answer) ADD_FAILURE() << answer.error().code;
    return answer.value_or(app::RecordsAnswer{});
  }
  static const app::RecordSheet* sheet_of(const app::RecordsAnswer& answer, const Id& id) {
    for (const auto& one : answer.sheets)
      if (one.record.id == id) return &one;
    return nullptr;
  }
  static std::string paper_of(const paper::Document& document, paper::Format format, const std::string& name) {
    const auto bytes = paper::pdf(document, format);
    if (!bytes) ADD_FAILURE() << bytes.error().code;
    // For who wants to look at it: LEAFTURN_KEEP_PAGES names a folder.
    if (const char* keep = std::getenv("LEAFTURN_KEEP_PAGES"); keep != nullptr && bytes)
      std::ofstream(std::string(keep) + "/" + name + ".pdf", std::ios::binary) << *bytes;
    return text_of_pdf(bytes.value_or(""), name, true);
  }

  Instant now_ = at("2026-06-11T12:00Z");
  std::string folder_, rosa_;
  std::unique_ptr<app::OpenGarden> garden_;
  std::unique_ptr<app::Access> access_;
  Id whole_;
};

struct Edition {
  words::Style style;
  paper::Format format;
  std::string name;
};
/// Both languages on both papers.
inline std::vector<Edition> editions() {
  std::vector<Edition> all;
  for (const auto language : {words::Language::en, words::Language::es})
    for (const auto format : {paper::Format::a4, paper::Format::letter})
      all.push_back(
          {{language, garden::Units::us}, format, std::string(words::code_for(language)) + "-" + std::string(paper::word_for(format))});
  return all;
}

}  // namespace leafturn::test
