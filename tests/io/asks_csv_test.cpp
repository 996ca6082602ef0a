#include "io/asks_csv.hpp"

#include <gtest/gtest.h>

#include "io/dossier_toml.hpp"

namespace leafturn::io {
namespace {

const pest::Library& library() {
  static const auto read = built_in_library();
  return *read;
}

Result<AskTable> read(std::string_view bytes) { return read_asks_csv(bytes, "asks.csv", Zone::fixed(-5 * 3600), library()); }

void refused(std::string_view bytes, const char* code, int line, const char* field) {
  const auto table = read(bytes);
  ASSERT_FALSE(table) << code;
  EXPECT_EQ(table.error().code, code);
  EXPECT_EQ(table.error().where.file, "asks.csv");
  EXPECT_EQ(table.error().where.line, line) << bytes;
  EXPECT_EQ(table.error().where.field, field) << bytes;
}

TEST(AsksCsv, ReadsRowsInTheFilesOrder) {
  const auto table = read(
      "plants,time,bed,pest,stage,remark\n20,2026-06-18T07:00,1,PIERRA,larva,\n18,2026-06-12,2,colorado-potato-beetle,egg-mass,x\n"
      "1,2026-06-12T09:00Z,2,LPTNDE,L3,\n");
  ASSERT_TRUE(table) << table.error().code;
  ASSERT_EQ(table->rows.size(), 3U);
  EXPECT_EQ(table->rows[0].time.iso_utc(), "2026-06-18T12:00:00Z");
  EXPECT_EQ(table->rows[0].dossier->id, "imported-cabbageworm");
  EXPECT_EQ(table->rows[0].pest, "PIERRA") << "as given";
  EXPECT_EQ(table->rows[0].plants, 20);
  EXPECT_EQ(table->rows[1].time.iso_utc(), "2026-06-12T17:00:00Z") << "a bare day is its noon";
  EXPECT_EQ(table->rows[1].stage, "egg-mass");
  EXPECT_EQ(table->rows[2].time.iso_utc(), "2026-06-12T09:00:00Z");
  EXPECT_EQ(table->rows[2].line, 4);
  ASSERT_EQ(table->notes.size(), 1U);
  EXPECT_EQ(table->notes[0].code, "garden.column_ignored");
}

TEST(AsksCsv, RefusesWithLineAndColumn) {
  const std::string head = "time,bed,pest,stage,plants\n";
  refused("time,bed,pest,stage\n", "garden.column_missing", 1, "plants");
  refused(head, "asks.empty", 1, "");
  refused(head + "2026-06-12,1,PIERRA,larva,20\nsoon,1,PIERRA,larva,20\n", "garden.not_a_time", 3, "time");
  refused(head + "2026-06-12,,PIERRA,larva,20\n", "garden.cell_missing", 2, "bed");
  refused(head + "2026-06-12,1,dragon,larva,20\n", "garden.unknown_pest", 2, "pest");
  refused(head + "2026-06-12,1,PIERRA,nymph,20\n", "garden.unknown_stage", 2, "stage");
  refused(head + "2026-06-12,1,PIERRA,larva,0\n", "garden.impossible", 2, "plants");
  refused(head + "2026-06-12,1,PIERRA,larva,2.5\n", "garden.not_whole", 2, "plants");
  refused(head + "2026-06-12,1,PIERRA,larva,-4\n", "garden.impossible", 2, "plants");
  refused(head + "2026-06-12,1,PIERRA,larva\n", "csv.row_length", 2, "");
  std::string many = head;
  for (int i = 0; i < 20'001; ++i) many += "2026-06-12,1,PIERRA,larva,20\n";
  refused(many, "asks.too_many", 20'002, "");
}

}  // namespace
}  // namespace leafturn::io
