// The example of docs/garden-files.md is read, and its tables name the columns the reader takes.
#include "io/garden_toml.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

TEST(GardenPage, ItsExampleIsRead) {
  const std::string page = test::read_file(test::source_path("docs/garden-files.md"));
  const std::size_t start = page.find("```toml\n") + 8;
  const auto garden = read_garden_toml(page.substr(start, page.find("```", start) - start), "garden-files.md");
  ASSERT_TRUE(garden.has_value()) << garden.error().code << " " << garden.error().where.field;
  EXPECT_TRUE(garden->notes.empty());
  EXPECT_EQ(garden->described.name, "Two Gates");
  EXPECT_EQ(garden->described.setting, garden::Setting::residential);
  for (const char* columns : {"`bed,x_m,y_m,width_m,length_m`", "`planting,bed,crop,plants,set_out,first_harvest,last_harvest,removed`",
                              "`time,bed,pest,stage,plants,count,by`", "`time,bed,action,product,rate,detail`"})
    EXPECT_NE(page.find(columns), std::string::npos) << columns;
}

}  // namespace
}  // namespace leafturn::io
