#include "io/rearing_csv.hpp"

#include <gtest/gtest.h>

namespace leafturn::io {
namespace {

void refused(std::string_view bytes, const char* code, int line, const char* field) {
  const auto read = read_rearing_csv(bytes, "t.csv");
  ASSERT_FALSE(read) << code;
  EXPECT_EQ(read.error().code, code);
  EXPECT_EQ(read.error().where.line, line) << bytes;
  EXPECT_EQ(read.error().where.field, field) << bytes;
}

TEST(RearingCsv, ReadsEveryColumn) {
  const auto read = read_rearing_csv("cage,Temp_C,days,n,sd\na,15,40.5,20,2.1\nb,20,21,18,\nc,36,none,25,\n", "t.csv");
  ASSERT_TRUE(read) << read.error().code;
  ASSERT_EQ(read->rows.size(), 3U);
  EXPECT_DOUBLE_EQ(read->rows[0].at.celsius(), 15.0);
  EXPECT_DOUBLE_EQ(read->rows[0].days.value(), 40.5);
  EXPECT_DOUBLE_EQ(read->rows[0].n.value(), 20.0);
  EXPECT_DOUBLE_EQ(read->rows[0].sd.value(), 2.1);
  EXPECT_FALSE(read->rows[1].sd);
  EXPECT_FALSE(read->rows[2].days);
  EXPECT_DOUBLE_EQ(read->rows[2].n.value(), 25.0);
  ASSERT_EQ(read->notes.size(), 1U);
  EXPECT_EQ(read->notes[0].code, "rearing.column_ignored");
}

TEST(RearingCsv, ReadsUnitsInTheHeaderOrTheCell) {
  EXPECT_NEAR(read_rearing_csv("temperature_f,days\n68,20\n", "t").value().rows[0].at.celsius(), 20.0, 1e-12);
  const auto mixed = read_rearing_csv("temp,days\n20C,21\n77F,14\n", "t");
  ASSERT_TRUE(mixed);
  EXPECT_NEAR(mixed->rows[1].at.celsius(), 25.0, 1e-12);
  const auto empty = read_rearing_csv("temp_c,days\n20,21\n36,\n", "t");
  ASSERT_TRUE(empty);
  EXPECT_FALSE(empty->rows[1].days);
  EXPECT_EQ(empty->notes.at(0).code, "rearing.days_empty");
}

TEST(RearingCsv, RefusesWithLineAndColumn) {
  refused("days\n20\n", "rearing.no_temperature", 1, "");
  refused("temp_c,temp_f,days\n20,68,20\n", "rearing.two_temperatures", 1, "temp_f");
  refused("temp_c,n\n20,20\n", "rearing.no_days", 1, "");
  refused("temp_c,days\n", "rearing.empty", 1, "");
  refused("temp_c,days\n20,20\nwarm,12\n", "rearing.temperature", 3, "temp_c");
  refused("temp_c,days\n68,20\n", "rearing.temperature", 2, "temp_c");
  refused("temp,days\n68,20\n", "quantity.no_unit", 2, "temp");
  refused("temp_c,days\n20,0\n", "rearing.days", 2, "days");
  refused("temp_c,days\n20,NA\n", "rearing.days", 2, "days");
  refused("temp_c,days\n20,-3\n", "rearing.days", 2, "days");
  refused("temp_c,days\n20,1001\n", "rearing.days", 2, "days");
  refused("temp_c,days,n\n20,20,0\n", "rearing.n", 2, "n");
  refused("temp_c,days,sd\n20,20,-1\n", "rearing.sd", 2, "sd");
  refused("temp_c,days\n20\n", "csv.row_length", 2, "");
  std::string long_file = "temp_c,days\n";
  for (int i = 0; i < 501; ++i) long_file += "20,21\n";
  refused(long_file, "rearing.too_many", 502, "");
}

}  // namespace
}  // namespace leafturn::io
