// Times of records against the rows of spray practice 9 (49–53 and 29); each row names the source it was read in.
#include "core/records/dates.hpp"

#include "core/base/quantity.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::records {
namespace {

using test::check_row;
using test::From;

Date day(const char* iso) { return *Date::parse(iso); }
Times applied(const char* iso) {
  Times t;
  t.applied = t.written = day(iso);
  t.ended = Instant::parse(std::string(iso) + "T16:30-05:00").value();
  return t;
}
test::Row row(const char* id, const char* what, const char* source, const char* expected, From from = From::published) {
  return {std::string("records.") + id,
          std::string(what) + " → " + expected,
          source,
          "seen",
          from,
          static_cast<double>(day(expected).serial()),
          0.0,
          "day"};
}
double of(const std::optional<Date>& date) { return date ? static_cast<double>(date->serial()) : -1.0; }

TEST(Dates, Rows) {
  Times worker = applied("2025-06-10");
  worker.reentry_ends = day("2025-06-11");
  const Due shown = due(Rule::us_worker, worker);
  check_row(row("49", "worker protection: re-entry ends 2025-06-11, displayed until",
                "40 CFR 170.122 as older text; Penn State Extension, central posting", "2025-07-11"),
            of(shown.display_until));
  check_row({"records.wps-24h", "worker protection: displayed within, after the end of the application",
             "Penn State Extension, central posting", "seen", From::published, 24.0, 0.0, "h"},
            (*shown.display_by - worker.ended).in_hours());
  const Due rup = due(Rule::us_restricted, applied("2025-06-10"));
  check_row(row("50-make", "7 CFR 110: sprayed 2025-06-10, recorded by",
                "USDA AMS; Pesticide Environmental Stewardship, private applicators", "2025-06-24"),
            of(rup.make_by));
  check_row(row("50-keep", "7 CFR 110: sprayed 2025-06-10, kept to", "USDA AMS; Pesticide Environmental Stewardship, private applicators",
                "2027-06-10"),
            of(rup.keep_until));
  check_row(row("51", "organic: record made 2025-06-10, kept to", "7 CFR 205.103(b); USDA AMS, recordkeeping by certified operations",
                "2030-06-10"),
            of(due(Rule::us_organic, applied("2025-06-10")).keep_until));
  check_row(row("52", "EU: used 2026-03-01, electronic by", "(EU) 2023/564 Art. 3", "2026-03-31"),
            of(due(Rule::eu, applied("2026-03-01")).electronic_by));
  Times delayed = applied("2027-05-20");
  delayed.converts_yearly = true;
  check_row(row("53", "EU, converted yearly: used in 2027, electronic by", "(EU) 2023/564 Art. 3", "2028-01-31"),
            of(due(Rule::eu, delayed).electronic_by));
  Times german = applied("2026-03-01");
  german.jurisdiction = "EU-DE";
  check_row(
      row("eu-de", "Germany: used 2026-03-01, kept 3 years from the next 1 January", "German summary of 2023/564 duties", "2030-01-01"),
      of(due(Rule::eu, german).keep_until));
  check_row(row("eu-keep", "EU: used 2026-03-01, kept at least 3 years", "Reg. (EC) 1107/2009 Art. 67", "2029-03-01"),
            of(due(Rule::eu, applied("2026-03-01")).keep_until));
  check_row({"records.29-ft2", "spot application: under 1/10 acre", "Minnesota Dept. of Agriculture; exact units", "seen", From::published,
             4356.0, 0.01, "ft2"},
            Area::acres(spot_acres).square_feet());
  check_row({"records.29-m2", "spot application: under 1/10 acre", "Minnesota Dept. of Agriculture; exact units", "derived",
             From::independent, 404.69, 0.01, "m2"},
            Area::acres(spot_acres).square_metres());
}

TEST(Dates, Signs) {
  const Instant ends = Instant::parse("2025-06-10T16:30-05:00").value(), enter = Instant::parse("2025-06-11T04:30-05:00").value();
  const SignTimes times = sign_times(ends, enter);
  const char* const source = "Washington State University, display and notification requirements";
  check_row(
      {"records.sign-up", "posted sign: hours before the application, at the earliest", source, "seen", From::published, 24.0, 0.0, "h"},
      (ends - times.up_from).in_hours());
  check_row({"records.sign-down", "posted sign: days after re-entry ends, at the latest", source, "seen", From::published, 3.0, 0.0, "d"},
            (*times.down_by - enter).in_days());
  EXPECT_FALSE(sign_times(ends, {}).down_by) << "where re-entry isn't known the sign stays";
}

TEST(Dates, without_reentry_the_display_runs_from_the_application) {
  EXPECT_EQ(due(Rule::us_worker, applied("2025-06-10")).display_until, day("2025-07-10"));
}

TEST(Dates, a_leap_day_is_never_kept_too_short) { EXPECT_EQ(years_after(day("2024-02-29"), 5), day("2029-03-01")); }

TEST(Rules, words_lead_back) {
  for (const Rule rule : all_rules) EXPECT_EQ(parse_rule(word_for(rule)), rule);
  EXPECT_FALSE(parse_rule("all"));
}

}  // namespace
}  // namespace leafturn::records
