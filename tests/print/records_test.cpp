// Each rule's fields ticked off on paper and in the CSV, in both languages, on A4 and Letter, as another program reads them. The lists are
// written here once more, from the rules themselves (spray practice 2.1–2.4), so that one forgotten in the program is missed.
#include "core/base/text.hpp"
#include "tests/print/printed.hpp"

namespace leafturn::test {
namespace {

using records::Field;
using records::Rule;

struct Wanted {
  Rule rule;
  const char* id;
  const char* source;
  const char* known;
  std::vector<std::pair<Field, const char*>> fields;  ///< with what this spray's record must say
};

// `started` is told at the start of a spray; where it wasn't, the record says so and lists it (see the test below).
const std::vector<Wanted>& wanted() {
  static const std::vector<Wanted> all{
      {Rule::us_restricted,
       "7cfr110",
       "7 CFR 110.3(a)(1)–(5), 2006",
       "seen",
       {{Field::product, "Demo Oil One"},
        {Field::registration, "DEMO-0001"},
        {Field::amount, "0.09 fl oz (2.66 mL)"},
        {Field::location, "40, -95"},
        {Field::area, "103 ft² (9.6 m²)"},
        {Field::crop, ""},
        {Field::date, "2026-06-08"},
        {Field::applicator, "Rosa Ejemplo"},
        {Field::certificate, "CERT-0042"}}},
      {Rule::us_worker,
       "40cfr170",
       "40 CFR 170 central display, Pesticide Educational Resources Collaborative",
       "seen",
       {{Field::product, "Demo Oil One"},
        {Field::active, "azadirachtin"},
        {Field::registration, "DEMO-0001"},
        {Field::reentry, "4 h"},
        {Field::crop, ""},
        {Field::location, "40, -95"},
        {Field::date, "2026-06-08"},
        {Field::ended, "2026-06-08 19:30"}}},
      {Rule::us_organic,
       "7cfr205",
       "7 CFR 205.103(b), 205.206(e); 7 USC 6519(a)(2)",
       "seen",
       {{Field::product, "Demo Oil One"},
        {Field::applicator, "Rosa Ejemplo"},
        {Field::address, "1 Sample Lane, Nowhere"},
        {Field::date, "2026-06-08"},
        {Field::rate, "1 floz/gal"},
        {Field::method, "foliar"},
        {Field::location, "40, -95"},
        {Field::crop, ""},
        {Field::pest, ""},
        {Field::evidence, "2026-06-08"},
        {Field::why, "more than one larva a plant"},
        {Field::system_plan, "plan page 12"}}},
      {Rule::eu,
       "eu2023-564",
       "(EU) 2023/564 Art. 1 and 3; German summary of its annex",
       "seen",
       {{Field::use_type, ""},
        {Field::product, "Demo Oil One"},
        {Field::registration, "DEMO-0001"},
        {Field::date, "2026-06-08"},
        {Field::rate, "1 floz/gal"},
        {Field::amount, "2.66 mL"},
        {Field::area, "9.6 m²"},
        {Field::location, "40, -95"},
        {Field::crop, ""},
        {Field::crop_code, "BRSOK"},
        {Field::growth_stage, "BBCH 45"}}},
  };
  return all;
}

TEST_F(Printed, every_field_a_rule_asks_for_is_on_paper) {
  for (const auto& rule : wanted()) {
    const auto answer = records(std::string(records::word_for(rule.rule)));
    const auto* sheet = sheet_of(answer, whole_);
    ASSERT_NE(sheet, nullptr);
    for (const auto& edition : editions()) {
      const std::string page =
          paper_of(render::records_document(answer, edition.style), edition.format, std::string("records-") + rule.id + "-" + edition.name);
      int ticked = 0;
      for (const auto& [field, value] : rule.fields) {
        const std::string label = words::say_key("records.field." + std::string(records::word_for(field)), edition.style);
        const std::string shown = render::record_value(sheet->record, field, answer.stamp.zone, edition.style);
        const bool there = says(page, label) && says(page, shown) && shown.find(value) != std::string::npos &&
                           shown != words::say_key("records.not_recorded", edition.style);
        EXPECT_TRUE(there) << rule.id << " " << edition.name << " " << label << ": " << shown << "\nwanted " << value;
        ticked += there ? 1 : 0;
      }
      check_row({std::string("records.fields.") + rule.id + "." + edition.name, "fields of the rule found on the printed record",
                 rule.source, rule.known, From::published, static_cast<double>(rule.fields.size()), 0.0, "fields"},
                ticked);
      EXPECT_TRUE(says(page, answer.stamp.head.hex())) << "the head of the chain";
    }
  }
}

TEST_F(Printed, the_program_asks_for_the_same_fields_as_the_rules) {
  for (const auto& rule : wanted()) {
    std::set<Field> asked, named;
    for (const auto& one : records::asked_by(rule.rule)) asked.insert(one.field);
    for (const auto& [field, value] : rule.fields) named.insert(field);
    // The time of starting: 40 CFR 170 always, the EU where the authorisation limits the time of day.
    if (rule.rule == Rule::us_worker || rule.rule == Rule::eu) named.insert(Field::started);
    EXPECT_EQ(asked, named) << rule.id;
  }
}

/// RFC 4180, as another reader would.
std::vector<std::vector<std::string>> read_csv(const std::string& text) {
  std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted && c == '"' && i + 1 < text.size() && text[i + 1] == '"')
      rows.back().back() += text[++i];
    else if (c == '"')
      quoted = !quoted;
    else if (!quoted && c == ',')
      rows.back().emplace_back();
    else if (!quoted && c == '\r')
      continue;
    else if (!quoted && c == '\n')
      rows.emplace_back(1);
    else
      rows.back().back() += c;
  }
  rows.pop_back();
  return rows;
}

TEST_F(Printed, every_field_is_in_the_csv_and_no_cell_is_blank) {
  for (const auto& rule : wanted()) {
    const auto answer = records(std::string(records::word_for(rule.rule)));
    for (const auto language : {words::Language::en, words::Language::es}) {
      const words::Style style{language, garden::Units::us};
      const auto rows = read_csv(render::records_csv(answer, style));
      ASSERT_GE(rows.size(), 3U) << "a head, and this spray beside the demo's own";
      std::map<std::string, std::string> cells;
      for (const auto& row : rows) {
        ASSERT_EQ(row.size(), rows.front().size());
        for (std::size_t i = 0; i < row.size(); ++i) {
          EXPECT_FALSE(row[i].empty()) << rows.front()[i];
          if (row.front() == whole_.text()) cells[rows.front()[i]] = row[i];
        }
      }
      int ticked = 0;
      for (const auto& [field, value] : rule.fields) {
        const auto found = cells.find(std::string(records::word_for(field)));
        ASSERT_NE(found, cells.end()) << records::word_for(field);
        ticked += found->second != words::say_key("records.not_recorded", style) && found->second.find(value) != std::string::npos ? 1 : 0;
      }
      check_row(
          {std::string("records.csv.") + rule.id + "." + std::string(words::code_for(language)), "fields of the rule found in the CSV",
           rule.source, rule.known, From::published, static_cast<double>(rule.fields.size()), 0.0, "fields"},
          ticked);
      EXPECT_EQ(cells["chain_head"], answer.stamp.head.hex());
      EXPECT_EQ(cells["area_m2"], "9.6");
      EXPECT_EQ(cells["amount_l"], "0.00266") << "of 2.8 mL put in, 0.018 of 0.36 L was left";
    }
  }
}

// The demo's spray of 10 June tells a product, a rate and a bed. What isn't known is said, listed with its section, and never blank.
TEST_F(Printed, what_is_not_known_is_said_and_listed_with_what_to_do) {
  const auto answer = records("all");
  const app::RecordSheet* little = nullptr;
  for (const auto& one : answer.sheets)
    if (one.record.bed == "11") little = &one;
  ASSERT_NE(little, nullptr);
  for (const auto rule : records::all_rules) EXPECT_FALSE(records::missing(little->record, rule).empty()) << records::word_for(rule);
  for (const auto& edition : editions()) {
    const std::string page = paper_of(render::records_document(answer, edition.style), edition.format, "records-all-" + edition.name);
    EXPECT_TRUE(says(page, words::say_key("records.not_recorded", edition.style)));
    for (const auto rule : records::all_rules)
      for (const auto& asked : records::missing(little->record, rule)) {
        const std::string word(records::word_for(asked.field));
        EXPECT_TRUE(says(page, std::string(asked.section))) << asked.section;
        EXPECT_TRUE(says(page, words::say_key("records.do." + word, edition.style))) << edition.name << " " << word;
      }
  }
}

TEST_F(Printed, an_amendment_stands_beside_what_was_said_before) {
  auto application = std::get<garden::Application>(garden_->event(whole_).value()->event.payload);
  application.used.method = "soil drench";
  application.used.why.clear();
  const auto amended =
      app::record_saying(*garden_, garden::Amended{whole_, "the method was typed wrongly", application, {}}, "test", rosa_, now_, now_);
  ASSERT_TRUE(amended) << amended.error().code;
  const auto answer = records("all");
  const auto* sheet = sheet_of(answer, whole_);
  ASSERT_EQ(sheet->amendments.size(), 1U);
  for (const auto& edition : editions()) {
    const std::string page = paper_of(render::records_document(answer, edition.style), edition.format, "records-amended-" + edition.name);
    for (const char* words :
         {"foliar", "soil drench", "the method was typed wrongly", "Hand-picking twice left more than one larva a plant"})
      EXPECT_TRUE(says(page, words)) << words;
  }
}

TEST_F(Printed, nothing_printed_reads_as_a_formula_in_a_spreadsheet) {
  app::SprayTyped typed = everything();
  typed.bed = "6";
  typed.used.why = "=HYPERLINK(\"x\")";
  ASSERT_TRUE(app::write_spray(*garden_, garden::Application::State::made, typed, {"2026-06-08T19:00", rosa_}, now_)->written);
  for (const auto& row : read_csv(render::records_csv(records("all"), {words::Language::en, garden::Units::us})))
    for (const auto& cell : row) EXPECT_NE(cell[0], '=') << cell;
}

TEST_F(Printed, unknown_rules_and_days_are_refused) {
  const auto code = [&](const app::RecordsQuestion& question) {
    const auto answer = app::records(*garden_, *access_, question, now_);
    return answer ? std::string{} : answer.error().code;
  };
  EXPECT_EQ(code({"us-all", {}, {}, {}}), "records.no_such_rule");
  EXPECT_EQ(code({"eu", "2026-13-01", {}, {}}), "records.day");
  EXPECT_EQ(code({"eu", "2026-06-02", "2026-06-01", {}}), "records.days_reversed");
}

}  // namespace
}  // namespace leafturn::test
