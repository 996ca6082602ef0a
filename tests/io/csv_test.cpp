#include "io/csv.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leafturn::io {
namespace {

CsvTable table(std::string_view bytes) {
  auto read = read_csv(bytes, "t.csv");
  EXPECT_TRUE(read) << read.error().code;
  return read ? *read : CsvTable{};
}

void refused(std::string_view bytes, const char* code, int line) {
  const auto read = read_csv(bytes, "t.csv");
  ASSERT_FALSE(read) << code;
  EXPECT_EQ(read.error().code, code);
  EXPECT_EQ(read.error().where.file, "t.csv");
  EXPECT_EQ(read.error().where.line, line);
}

TEST(ReadCsv, AnyLineEnding) {
  for (const char* text : {"a,b\n1,2\n3,4\n", "a,b\r\n1,2\r\n3,4", "a,b\r1,2\r3,4\r", "\n\na,b\n\n1,2\n\n\n3,4\n\n",
                           "\xEF\xBB\xBF"
                           "a,b\n1,2\n3,4"}) {
    const CsvTable t = table(text);
    ASSERT_EQ(t.header, (std::vector<std::string>{"a", "b"})) << text;
    ASSERT_EQ(t.rows.size(), 2U) << text;
    EXPECT_EQ(t.rows[1].cells, (std::vector<std::string>{"3", "4"}));
  }
}

TEST(ReadCsv, QuotesTabsAndEmptyCells) {
  const CsvTable t = table("bed,\"what, seen\",n\n7,\"eggs \"\"double row\"\"\",\n8,\"two\nlines\",3\n9,plain \"word\",4\n");
  EXPECT_EQ(t.header[1], "what, seen");
  EXPECT_EQ(t.rows[0].cells[1], "eggs \"double row\"");
  EXPECT_EQ(t.rows[0].cells[2], "");
  EXPECT_EQ(t.rows[1].cells[1], "two\nlines");
  EXPECT_EQ(t.rows[2].cells[1], "plain \"word\"");
  EXPECT_EQ(t.rows[2].line, 5) << "the row before took two lines";
  EXPECT_EQ(table("a\tb\n1,5\t2\n").rows[0].cells[0], "1,5");
}

TEST(ReadCsv, ColumnsByNameInAnyCase) {
  const CsvTable t = table(" Date ,TMAX\n2026-05-31,80\n");
  EXPECT_EQ(t.column("date"), 0U);
  EXPECT_EQ(t.column("tmax"), 1U);
  EXPECT_FALSE(t.column("tmin"));
}

TEST(ReadCsv, RefusesWithTheLine) {
  refused("", "csv.empty", 0);
  refused("\n\r\n", "csv.empty", 0);
  refused(",,\n1,2,3\n", "csv.empty", 0);
  refused("a,b\n1,2\n1\n", "csv.row_length", 3);
  refused("a,b\n1,2,3\n", "csv.row_length", 2);
  refused("a,B,b\n1,2,3\n", "csv.duplicate_column", 1);
  refused("a,b\n1,\"2\n3,4\n", "csv.quote", 2);
  refused("a,b\n1,\"2\"x\n", "csv.quote", 2);
  refused(std::string_view("a,b\n1,\0\n", 8), "csv.not_text", 2);
  refused("a,b\n1,2\n1,\xff\n", "csv.not_text", 3);
  refused("a,b\r\n1,\xc0\xaf\r\n", "csv.not_text", 2);
  refused(std::string(65U << 20, 'a'), "csv.too_large", 0);
}

TEST(ParseNumber, WholeFiniteDecimalsOnly) {
  EXPECT_NEAR(*parse_number("42.980000000000004"), 42.98, 1e-12);
  EXPECT_NEAR(*parse_number(" -3 "), -3.0, 1e-12);
  EXPECT_NEAR(*parse_number("+1e3"), 1000.0, 1e-9);
  for (const char* bad : {"", " ", "x", "1x", "1 2", "1,5", "inf", "nan", "NaN", "-inf", "0x10", "+-1", "--1", "1e999", "°"})
    EXPECT_FALSE(parse_number(bad)) << bad;
}

TEST(IsMissing, EmptyNaAndTheOldCode) {
  for (const char* missing : {"", " ", "NA", "-9999", "-9999.0", " NA "}) EXPECT_TRUE(is_missing(missing)) << missing;
  for (const char* present : {"0", "na?", "-999", "9999", "-", "-99990", "nan"}) EXPECT_FALSE(is_missing(present)) << present;
}

}  // namespace
}  // namespace leafturn::io
