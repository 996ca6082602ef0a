// The import folder a true garden writes is one the program takes whole, and every row in it becomes an event.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/gardens/seeds.hpp"
#include "tests/support/data.hpp"

namespace leafturn::test {
namespace {

TEST(TrueGardens, the_program_takes_what_they_write) {
  std::vector<gardens::Spec> specs = gardens::training();
  specs.resize(6);
  for (const auto spec : specs) {
    auto garden = gardens::make(spec);
    const int day = spec.seed % 2 == 0 ? 140 : 220;
    garden.run_until(day, gardens::People::record);
    const std::string folder = fresh_folder("true-garden-" + std::to_string(spec.seed) + "-" + std::to_string(day));
    ASSERT_TRUE(gardens::write_import(garden, day, folder + "/rows"));
    const auto taken = run_program(LEAFTURN_PROGRAM, {"garden", "import", folder + "/rows", "--into", folder + "/garden", "--json"});
    ASSERT_EQ(taken.exit_code, 0) << taken.err;
    EXPECT_EQ(taken.err, "") << "no column, pest, stage or crop is left out";
    const auto known = garden.history(day);
    const auto events = run_program(LEAFTURN_PROGRAM, {"ledger", "export", "--garden", folder + "/garden"});
    std::size_t counts = 0, from = 0;
    for (; (from = events.out.find("count_taken", from)) != std::string::npos; ++from) ++counts;
    EXPECT_EQ(counts, known.counts.size());
    const auto brief = run_program(LEAFTURN_PROGRAM, {"brief", "--garden", folder + "/garden", "--json"});
    ASSERT_EQ(brief.exit_code, 0) << brief.err;
    EXPECT_EQ(nlohmann::json::parse(brief.out)["beds"].size(), known.beds.size());
  }
}

}  // namespace
}  // namespace leafturn::test
