// Every dossier file against its JSON Schema, and the schema against the strict reader.
#include <gtest/gtest.h>

#include <filesystem>

#include "tests/pest/schema.hpp"
#include "tests/support/data.hpp"

namespace leafturn {
namespace {

nlohmann::json schema(const std::string& name) {
  return nlohmann::json::parse(test::read_file(test::source_path("dossiers/schema/" + name + ".schema.json")));
}

int check_folder(const std::string& folder, const std::string& schema_name) {
  const auto rules = schema(schema_name);
  int files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(test::source_path("dossiers/" + folder))) {
    ++files;
    for (const auto& failure : test::schema_failures(rules, test::json_of_toml(test::read_file(entry.path().string()))))
      ADD_FAILURE() << entry.path().filename() << " " << failure;
  }
  return files;
}

TEST(Schema, every_pest_conforms) { EXPECT_GE(check_folder("pests", "pest"), 3); }
TEST(Schema, every_friend_conforms) {
  if (!std::filesystem::exists(test::source_path("dossiers/friends"))) GTEST_SKIP() << "no friends yet";
  EXPECT_GE(check_folder("friends", "friend"), 1);
}
TEST(Schema, every_crop_conforms) { EXPECT_GE(check_folder("crops", "crop"), 12); }

TEST(Schema, every_active_conforms) { EXPECT_GE(check_folder("actives", "active"), 16); }

TEST(Schema, refuses_what_the_reader_refuses) {
  const auto rules = schema("pest");
  const auto good = test::json_of_toml(test::read_file(test::source_path("dossiers/pests/harlequin-bug.toml")));
  ASSERT_TRUE(test::schema_failures(rules, good).empty());
  const auto refused = [&](const char* pointer, const nlohmann::json& value) {
    auto bad = good;
    bad[nlohmann::json::json_pointer(pointer)] = value;
    EXPECT_FALSE(test::schema_failures(rules, bad).empty()) << pointer;
  };
  refused("/stage/0/lower_c", 8.4);
  refused("/stage/0/lower_c/known", "guessed");
  refused("/stage/0/colour", "black");
  refused("/biofix/month", 13);
  refused("/biofix/month", 2.5);
  refused("/efficacy/0/low", 1.2);
  refused("/efficacy/0/value", 0.5);
  refused("/hosts/brsju", nlohmann::json{{"preference", 3}, {"source", "practice"}, {"known", "practice"}});
  refused("/laying/kind", "broods");
  refused("/stage/0/place", "");
  const nlohmann::json figure{{"value", 0.5}, {"source", "practice"}, {"known", "practice"}};
  refused("/stage/0/survival", 0.5);
  refused("/movement", nlohmann::json{{"leave_per_day", 0.5}});
  refused("/movement", nlohmann::json{{"distance_km", figure}});
  refused("/damage/0/loss", figure);
  refused("/damage/0/tolerated", nlohmann::json::array({figure}));
  refused("/damage/0/reject", nlohmann::json::array({figure}));
  auto more = good;
  more["movement"] = {{"leave_per_day", figure}, {"distance_m", figure}};
  more["stage"][0]["survival"] = figure;
  more["rating"] = nlohmann::json::array({good["efficacy"][0]});
  EXPECT_TRUE(test::schema_failures(rules, more).empty());
  auto lacking = good;
  lacking["stage"][0]["lower_c"].erase("source");
  EXPECT_FALSE(test::schema_failures(rules, lacking).empty());
}

TEST(Schema, an_unknown_keyword_is_a_failure) {
  EXPECT_EQ(test::schema_failures(nlohmann::json{{"contains", 1}}, nlohmann::json::array()).size(), 1U);
}

}  // namespace
}  // namespace leafturn
