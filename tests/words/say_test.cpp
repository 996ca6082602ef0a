#include <gtest/gtest.h>

#include "words/catalogue.hpp"
#include "words/clean_text.hpp"
#include "words/template.hpp"

namespace leafturn::words {
namespace {

const Style en{Language::en, garden::Units::metric};
const Style es{Language::es, garden::Units::metric};
const Style us{Language::en, garden::Units::us};

std::string fill_with(std::string_view pattern, std::string n, std::string pest = "cabbageworm") {
  return fill(pattern, [=](std::string_view name) -> std::optional<std::string> {
    if (name == "n") return n;
    if (name == "pest") return pest;
    return std::nullopt;
  });
}

TEST(Template, puts_facts_in_and_chooses_one_or_many) {
  EXPECT_EQ(fill_with("{n} {n?egg|eggs} of {pest}", "1"), "1 egg of cabbageworm");
  EXPECT_EQ(fill_with("{n} {n?egg|eggs} of {pest}", "12"), "12 eggs of cabbageworm");
  EXPECT_EQ(fill_with("{n?one {pest}|{n} of {pest}}", "1"), "one cabbageworm");
  EXPECT_EQ(fill_with("{n?one {pest}|{n} of {pest}}", "3"), "3 of cabbageworm");
}

TEST(Template, starts_a_sentence_with_a_capital) {
  EXPECT_EQ(fill_with("{Pest}: look", "1"), "Cabbageworm: look");
  EXPECT_EQ(fill_with("{Pest}: mirar", "1", "ácaro"), "Ácaro: mirar");
  EXPECT_EQ(with_capital("÷"), "÷");
  EXPECT_EQ(with_capital(""), "");
}

TEST(Template, shows_what_is_missing) {
  EXPECT_EQ(fill_with("{bed} {n}", "2"), "⟦bed⟧ 2");
  EXPECT_EQ(fill_with("{n", "2"), "⟦{n⟧");
}

TEST(Template, tells_its_facts_and_refuses_broken_braces) {
  EXPECT_EQ(facts_of("{n?one {pest}|{n} of {Pest}} {bed}"), (std::set<std::string>{"bed", "n", "pest"}));
  for (const char* broken : {"{n", "n}", "{}", "{n?egg}", "{n?a|b|c}", "{Two Words}", "{n?{a|b}"}) EXPECT_FALSE(facts_of(broken)) << broken;
}

TEST(Say, dates_and_times_by_language) {
  const Date day = *Date::parse("2026-06-04");
  EXPECT_EQ(say_fact(day, en), "Thu 4 Jun");
  EXPECT_EQ(say_fact(day, es), "jue 4 jun");
  EXPECT_EQ(say_fact(CivilTime{day, 6 * 3600 + 300}, en), "Thu 4 Jun 06:05");
  EXPECT_EQ(say_fact(CivilTime{day, 18 * 3600 + 59}, es), "jue 4 jun 18:00");
}

TEST(Say, never_more_decimals_than_asked) {
  EXPECT_EQ(say_fact(Number{0.3, 1}, en), "0.3");
  EXPECT_EQ(say_fact(Number{0.3, 1}, es), "0.3");
  EXPECT_EQ(say_fact(Number{41.6, 0}, en), "42");
  EXPECT_EQ(say_fact(Number{-0.04, 1}, en), "0.0");
  EXPECT_EQ(say_fact(Number{1.0 / 0.0, 1}, en), "⟦number⟧");
}

TEST(Say, shares_never_round_to_certainty) {
  EXPECT_EQ(say_fact(Share{0.35}, en), "35%");
  EXPECT_EQ(say_fact(Share{0.35}, es), "35 %");
  EXPECT_EQ(say_fact(Share{0.001}, en), "under 1%");
  EXPECT_EQ(say_fact(Share{0.999}, es), "más de 99 %");
  EXPECT_EQ(say_fact(Share{0.0}, en), "0%");
  EXPECT_EQ(say_fact(Share{1.0}, en), "100%");
}

TEST(Say, quantities_in_the_readers_units) {
  EXPECT_EQ(say_fact(Temperature::celsius(18.0), en), "18 °C (64 °F)");
  EXPECT_EQ(say_fact(Temperature::celsius(18.0), us), "64 °F (18 °C)");
  EXPECT_EQ(say_fact(DegreeDays::celsius_days(100.0), us), "180 degree-days F (100 C)");
  EXPECT_EQ(say_fact(Length::metres(2.5), en), "2.5 m");
  EXPECT_EQ(say_fact(Length::millimetres(7.0), en), "7 mm");
  EXPECT_EQ(say_fact(Length::millimetres(5.0), us), "0.2 in");
  EXPECT_EQ(say_fact(Length::feet(8.0), us), "8 ft");
  EXPECT_EQ(say_fact(Area::square_feet(400.0), us), "400 sq ft");
  EXPECT_EQ(say_fact(Area::acres(1.0), us), "1 acre");
  EXPECT_EQ(say_fact(Volume::millilitres(59.147), en), "59 mL");
  EXPECT_EQ(say_fact(Volume::gallons(2.0), us), "2 gal");
  EXPECT_EQ(say_fact(Speed::metres_per_second(2.0), en), "7 km/h");
  EXPECT_EQ(say_fact(Speed::miles_per_hour(3.0), us), "3 mph");
}

TEST(Say, lists_with_and) {
  const Terms three{{{"format.weekday.1"}, {"format.weekday.2"}, {"format.weekday.3"}}};
  EXPECT_EQ(say_fact(three, en), "Mon, Tue and Wed");
  EXPECT_EQ(say_fact(three, es), "lun, mar y mié");
  EXPECT_EQ(say_fact(Terms{{{"format.weekday.5"}}}, es), "vie");
  EXPECT_EQ(say_fact(Terms{}, en), "nothing");
}

TEST(Say, errors_say_what_where_and_what_to_do) {
  const Error unknown{"no.such_code", {"weather.csv", 7, "TMAX"}, {}, ErrorKind::bad_input};
  EXPECT_EQ(say_error(unknown, en), "⟦error.no.such_code.what⟧ (weather.csv, line 7, TMAX): ⟦error.no.such_code.do⟧");
  EXPECT_EQ(say_error(Error{"no.such_code", {"", 7, ""}, {}, ErrorKind::bad_input}, es),
            "⟦error.no.such_code.what⟧ (línea 7): ⟦error.no.such_code.do⟧");
  EXPECT_EQ(say_error(Error{"x", {}, {}, ErrorKind::cannot}, en), "⟦error.x.what⟧: ⟦error.x.do⟧");
}

TEST(Say, text_from_outside_cannot_command_a_terminal) {
  EXPECT_EQ(say_fact(std::string("bed\x1b[31m 7\n"), en), "bed\uFFFD[31m 7 ");
  EXPECT_EQ(clean_text("mañana ⟦x⟧ 🐛"), "mañana ⟦x⟧ 🐛");
  EXPECT_EQ(clean_text("\xC3"), "\uFFFD");
  EXPECT_EQ(clean_text("\xC0\xAF\xED\xA0\x80"), "\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD");
  EXPECT_EQ(clean_text("\xC2\x9B"), "\uFFFD");
  EXPECT_EQ(say_error(Error{"x", {"a\tb", 0, "f\x07"}, {}, ErrorKind::cannot}, en), "⟦error.x.what⟧ (a b, f\uFFFD): ⟦error.x.do⟧");
}

TEST(Say, unknown_keys_show_themselves) {
  EXPECT_EQ(say_key("no.such.key", en), "⟦no.such.key⟧");
  EXPECT_EQ(say({"no.such.key", {}}, es), "⟦no.such.key⟧");
  EXPECT_FALSE(has_key("no.such.key", Language::en));
  EXPECT_TRUE(has_key("format.and", Language::es));
}

TEST(Language, is_read_from_any_locale_name) {
  EXPECT_EQ(parse_language("es_MX.UTF-8"), Language::es);
  EXPECT_EQ(parse_language("en-US"), Language::en);
  EXPECT_EQ(parse_language("fr"), std::nullopt);
  EXPECT_EQ(code_for(Language::es), "es");
}

}  // namespace
}  // namespace leafturn::words
