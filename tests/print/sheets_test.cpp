// The sign, the worksheet, the shed board, the calendar and the logs, as another program reads them.
#include "app/signs.hpp"
#include "app/worksheet.hpp"
#include "tests/print/printed.hpp"

namespace leafturn::test {
namespace {

TEST_F(Printed, a_sign_says_until_when_in_english_and_spanish_together) {
  app::SprayTyped typed = everything();
  typed.bed = "6";
  ASSERT_TRUE(app::write_spray(*garden_, garden::Application::State::made, typed, {"2026-06-11T06:00", rosa_}, now_)->written);
  const auto answer = app::signs(*garden_, {"6", at(today_at)}, now_);
  ASSERT_TRUE(answer);
  ASSERT_EQ(answer->signs.size(), 1U);
  for (const auto& edition : editions()) {
    const std::string page = paper_of(render::signs_document(*answer, edition.style), edition.format, "sign-" + edition.name);
    // 4 hours from 06:00, and the sign down 3 days later.
    for (const char* words : {"DO NOT ENTER", "NO ENTRAR", "Do not enter before 2026-06-11 10:00", "No entrar antes de 2026-06-11 10:00",
                              "2026-06-14 10:00", "2026-06-10 06:00", "Demo Oil One", "DEMO-0001", "azadirachtin"})
      EXPECT_TRUE(says(page, words)) << edition.name << ": " << words << "\n" << page;
    // What hangs at a bed is one sheet, its last caution included.
    const bool spanish = edition.style.language == words::Language::es;
    EXPECT_TRUE(says(page, spanish ? "página 1 de 1" : "page 1 of 1")) << edition.name << "\n" << page;
  }
}

TEST_F(Printed, a_spray_outside_the_label_keeps_its_sign_and_names_no_day_to_pick) {
  app::SprayTyped typed;
  typed.bed = "9";
  typed.product = "Demo Oil One";
  typed.rate = "1 floz/gal";
  typed.outside_label = true;
  ASSERT_TRUE(app::write_spray(*garden_, garden::Application::State::made, typed, {"2026-06-09T06:00", rosa_}, now_)->written);
  const auto answer = app::signs(*garden_, {"9", at(today_at)}, now_);
  ASSERT_TRUE(answer);
  ASSERT_EQ(answer->signs.size(), 1U);
  const std::string page = paper_of(render::signs_document(*answer, editions()[0].style), paper::Format::a4, "sign-outside");
  EXPECT_TRUE(says(page, "Do not pick or give away"));
  EXPECT_TRUE(says(page, "page 1 of 1")) << page;
  EXPECT_FALSE(says(page, "Do not pick before"));
}

app::WorksheetQuestion wanting(const std::string& by) {
  app::WorksheetQuestion q;
  q.beds = {"6", "7"};
  q.product = "Demo Oil One";
  q.rate = "1 floz/gal";
  q.equipment = "knapsack";
  q.by = by;
  q.at = at("2026-06-11T06:30-05:00");
  return q;
}

TEST_F(Printed, a_worksheet_has_doses_only_for_who_was_calibrated) {
  const auto with = app::worksheet(*garden_, *access_, wanting("Rosa Ejemplo"), now_);
  ASSERT_TRUE(with) << with.error().code;
  ASSERT_TRUE(with->mixed);
  // 40 fl oz on 340 ft² is 40 gal/acre (1/128 method); two beds of 9.6 m² take 0.718 L; 1 fl oz/gal of that 5.61 mL.
  check_row({"worksheet.spray", "two beds of 9.6 m² at 40 fl oz per 340 ft²", "1/128 method slides; exact units", "derived",
             From::independent, 40 * 0.0295735295625 / (340 * 0.09290304) * 19.2, 1e-9, "L"},
            with->mixed->finished.litres());
  for (const auto& edition : editions()) {
    const std::string page = paper_of(render::worksheet_document(*with, edition.style), edition.format, "worksheet-" + edition.name);
    EXPECT_TRUE(says(page, "A12"));
    for (const char* key : {"caution.label_is_law", "caution.poisoning", "caution.wear", "worksheet.rinse", "worksheet.order_all",
                            "worksheet.ph_not_measured"})
      EXPECT_TRUE(says(page, words::say_key(key, edition.style))) << key;
  }
  auto other = wanting("somebody else");
  const auto without = app::worksheet(*garden_, *access_, other, now_);
  ASSERT_TRUE(without);
  EXPECT_FALSE(without->mixed);
  EXPECT_EQ(without->calibration.state, spray::Calibrated::other_person);
  const std::string page =
      paper_of(render::worksheet_document(*without, editions()[0].style), paper::Format::letter, "worksheet-uncalibrated");
  EXPECT_TRUE(says(page, "Calibrate first"));
}

TEST_F(Printed, a_catch_test_ages_and_holds_for_one_nozzle) {
  auto later = wanting("Rosa Ejemplo");
  later.beds = {"6"};
  later.at = at("2026-07-31T09:00-05:00");
  EXPECT_EQ(app::worksheet(*garden_, *access_, later, at("2026-07-31T14:00Z"))->calibration.state, spray::Calibrated::yes) << "60 days";
  later.at = at("2026-07-31T09:01-05:00");
  EXPECT_EQ(app::worksheet(*garden_, *access_, later, at("2026-07-31T14:01Z"))->calibration.state, spray::Calibrated::too_old);
  auto nozzle = wanting("Rosa Ejemplo");
  nozzle.nozzle = "cone";
  EXPECT_EQ(app::worksheet(*garden_, *access_, nozzle, now_)->calibration.state, spray::Calibrated::other_nozzle);
}

TEST_F(Printed, there_is_no_worksheet_for_what_the_card_refuses) {
  auto refused = wanting("Rosa Ejemplo");
  refused.beds = {"2"};  // sprayed three days ago; the card wants seven between
  const auto answer = app::worksheet(*garden_, *access_, refused, now_);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, "worksheet.not_allowed");
}

TEST_F(Printed, what_was_really_used_is_judged_not_what_was_told) {
  app::SprayTyped typed = everything();
  typed.bed = "6";
  typed.used.amount = "9ml";  // 25 mL/L of 0.36 L; the label's most is 2 fl oz/gal, 15.6 mL/L
  const auto over = app::write_spray(*garden_, garden::Application::State::made, typed, {"2026-06-11T06:00", rosa_}, now_);
  ASSERT_TRUE(over);
  EXPECT_FALSE(over->written) << "above the most: only as outside the label";
  EXPECT_EQ(over->actual->code, "spray.actual_above");
  typed.outside_label = true;
  EXPECT_TRUE(app::write_spray(*garden_, garden::Application::State::made, typed, {"2026-06-11T06:00", rosa_}, now_)->written);
  typed.outside_label = false;
  typed.bed = "7";
  typed.used.amount = "2.2ml";  // 6.1 mL/L; nine tenths of the least, 7.8 mL/L, are 7.0
  const auto weak = app::write_spray(*garden_, garden::Application::State::made, typed, {"2026-06-11T06:00", rosa_}, now_);
  ASSERT_TRUE(weak && weak->written);
  EXPECT_EQ(weak->actual->code, "spray.actual_weak");
}

TEST_F(Printed, the_shelf_is_the_count_less_what_was_used) {
  const auto shelf = app::shelf(*garden_, at(today_at), now_);
  ASSERT_TRUE(shelf);
  ASSERT_EQ(shelf->lots.size(), 1U);
  EXPECT_NEAR(std::get<Volume>(shelf->lots[0].left).millilitres(), 500.0 - 2.8, 1e-9);
  EXPECT_FALSE(shelf->lots[0].negative || shelf->lots[0].expired);
  ASSERT_TRUE(app::write_stock(*garden_, {"Demo Oil One", "A12", "1ml", {}, "2026-06-01", ""}, {"2026-06-08T19:00", rosa_}, now_));
  const auto less = app::shelf(*garden_, at(today_at), now_);
  EXPECT_TRUE(less->lots[0].negative && less->lots[0].expired);
}

TEST_F(Printed, the_board_and_the_calendar_name_every_bed) {
  const auto brief = app::brief(*garden_, at(today_at), now_);
  ASSERT_TRUE(brief);
  const auto stamp = app::stamp_of(*garden_, brief->garden, brief->brief.at);
  ASSERT_TRUE(stamp);
  for (const auto& edition : editions()) {
    const std::string board = paper_of(render::board_document(*brief, *stamp, edition.style), edition.format, "board-" + edition.name);
    const std::string calendar =
        paper_of(render::calendar_document(*brief, *stamp, edition.style), edition.format, "calendar-" + edition.name);
    for (int bed = 1; bed <= 12; ++bed)
      for (const auto* page : {&board, &calendar}) EXPECT_TRUE(says(*page, std::to_string(bed) + " · ")) << bed;
    EXPECT_TRUE(says(board, words::say_key("board_sheet.note", edition.style)));
  }
}

TEST_F(Printed, logs_tell_harvests_before_a_wait_and_entries_under_an_exception) {
  EXPECT_FALSE(app::write_harvest(*garden_, {"11", "", "2.5kg", "for the stand"}, {"2026-06-10T20:00", rosa_}, now_)) << "as food";
  ASSERT_TRUE(app::write_harvest(*garden_, {"11", "", "2.5kg", "for the stand", "held"}, {"2026-06-10T20:00", rosa_}, now_));
  ASSERT_TRUE(app::write_entry(*garden_, {"11", "short-task", "10", "turned the water off"}, {"2026-06-10T20:30", rosa_}, now_));
  ASSERT_TRUE(app::write_work(*garden_, "clean-up", "12", "", {"2026-06-09T08:00", rosa_}, now_));
  for (const auto& edition : editions()) {
    const auto page = [&](const std::string& of) {
      const auto answer = app::garden_log(*garden_, *access_, {of, {}, {}, at(today_at)}, now_);
      EXPECT_TRUE(answer);
      return paper_of(render::log_document(*answer, edition.style), edition.format, "log-" + of + "-" + edition.name);
    };
    const std::string harvests = page("harvests"), entries = page("entries"), work = page("work");
    EXPECT_TRUE(says(harvests, words::say_key("log.before_wait", edition.style))) << harvests;
    EXPECT_TRUE(says(harvests, "for the stand"));
    EXPECT_TRUE(says(harvests, words::say_key("log.fate.held", edition.style)));
    EXPECT_TRUE(says(entries, words::say_key("log.exception.short_task", edition.style)));
    EXPECT_TRUE(says(work, words::say_key("pages.work.clean_up", edition.style)));
  }
}

}  // namespace
}  // namespace leafturn::test
