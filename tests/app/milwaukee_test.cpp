// The main job on real weather: docs/readings/milwaukee-2025.md reads these briefs as a practitioner would.

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>

#include "app/brief.hpp"
#include "app/import_garden.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;

class Milwaukee : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    const auto station = test::shared_data("milwaukee-daily-1991-2026.csv");
    if (!station) return;
    folder_ = test::fresh_folder("milwaukee-" + std::to_string(getpid()));  // ctest runs each test in its own process
    fs::copy(test::source_path("docs/readings/milwaukee-2025"), folder_ + "/in", fs::copy_options::recursive);
    fs::create_directories(folder_ + "/in/weather");
    fs::copy_file(*station, folder_ + "/in/weather/station.csv");
    const auto imported = import_garden(folder_ + "/in", folder_ + "/garden", Instant::parse("2026-01-01T00:00Z").value());
    ASSERT_TRUE(imported.has_value()) << imported.error().code << " " << imported.error().where.file << " " << imported.error().where.field;
    garden_ = std::move(OpenGarden::open(folder_ + "/garden").value());
  }
  static void TearDownTestSuite() {
    garden_.reset();
    if (!folder_.empty()) fs::remove_all(folder_);
  }
  void SetUp() override { LEAFTURN_SKIP_WITHOUT(garden_, "the Milwaukee station file of shared/data"); }

  decision::Brief on(const char* time) {
    const Instant at = Instant::parse(time).value();
    return brief(*garden_, at, at).value().brief;
  }
  static const decision::BedBrief& bed(const decision::Brief& b, const std::string& name) {
    return *std::find_if(b.beds.begin(), b.beds.end(), [&](const auto& x) { return x.bed == name; });
  }

  static std::string folder_;
  static std::unique_ptr<OpenGarden> garden_;
};
std::string Milwaukee::folder_;
std::unique_ptr<OpenGarden> Milwaukee::garden_;

TEST_F(Milwaukee, HarlequinBugIsNotExpectedAfterAWisconsinWinter) {
  for (const char* time : {"2025-05-20T12:00Z", "2025-06-20T12:00Z", "2025-08-05T12:00Z"})
    for (const auto& b : on(time).beds)
      for (const auto& p : b.pests)
        if (p.pest == "harlequin-bug") {
          ASSERT_TRUE(p.timing_unknown) << time;
          EXPECT_EQ(p.timing_unknown->code, "timing.winter_kill");
        }
}

TEST_F(Milwaukee, SpringSendsPeopleToEggsUnderBrassicaLeaves) {
  const auto b = on("2025-05-20T12:00Z");
  ASSERT_FALSE(b.walk.empty());
  EXPECT_TRUE(
      std::any_of(b.walk.begin(), b.walk.end(), [](const auto& v) { return v.pest == "imported-cabbageworm" && v.stage == "egg"; }));
  EXPECT_EQ(b.future, decision::Future::past_years);
}

TEST_F(Milwaukee, EggMassesOnPotatoAreActedOnBeforeTheyAreLargeLarvae) {
  const auto b = on("2025-06-20T12:00Z");
  EXPECT_EQ(bed(b, "4").urgency, decision::Urgency::act);
  EXPECT_EQ(bed(b, "4").headline.code, "headline.over_soon");
}

TEST_F(Milwaukee, SummerCountPastTheThresholdIsActedOn) {
  const auto b = on("2025-08-05T12:00Z");
  EXPECT_EQ(bed(b, "2").urgency, decision::Urgency::act);
  EXPECT_EQ(b.beds.front().bed, "2");
}

TEST_F(Milwaukee, NothingIsDueInDecemberAndNoBeetleEggsHatchInLateSeptember) {
  for (const auto& b : on("2025-12-01T13:00Z").beds) EXPECT_GE(b.urgency, decision::Urgency::wait) << b.bed << " " << b.headline.code;
  const auto september = on("2025-09-20T12:00Z");
  EXPECT_NE(bed(september, "4").headline.code, "headline.look_hatching");
}

TEST_F(Milwaukee, WithoutACountTheThresholdIsThatOfWhatThereIsToFind) {
  const auto b = on("2025-07-10T12:00Z");
  const auto visit = std::find_if(b.walk.begin(), b.walk.end(), [](const auto& v) { return v.bed == "4"; });
  ASSERT_NE(visit, b.walk.end());
  ASSERT_EQ(visit->stage, "larva");
  for (const auto& p : bed(b, "4").pests)
    if (p.pest == "colorado-potato-beetle") {
      EXPECT_NE(p.threshold->stage, "adult");
    }
}

TEST_F(Milwaukee, BriefOfADateDoesNotDependOnLaterWeather) {
  const auto station = test::shared_data("milwaukee-daily-1991-2026.csv");
  std::string text = test::read_file(*station);
  text.resize(text.find("2025,06,20"));
  const std::string cut = test::fresh_folder("milwaukee-cut");
  fs::copy(test::source_path("docs/readings/milwaukee-2025"), cut + "/in", fs::copy_options::recursive);
  fs::create_directories(cut + "/in/weather");
  std::FILE* out = std::fopen((cut + "/in/weather/station.csv").c_str(), "wb");
  ASSERT_NE(out, nullptr);
  std::fwrite(text.data(), 1, text.size(), out);
  std::fclose(out);
  ASSERT_TRUE(import_garden(cut + "/in", cut + "/garden", Instant::parse("2026-01-01T00:00Z").value()));
  auto other = OpenGarden::open(cut + "/garden").value();
  const Instant at = Instant::parse("2025-06-20T12:00Z").value();
  const auto a = on("2025-06-20T12:00Z");
  const auto b = brief(*other, at, at).value().brief;
  ASSERT_EQ(a.beds.size(), b.beds.size());
  for (std::size_t i = 0; i < a.beds.size(); ++i) {
    EXPECT_EQ(a.beds[i].headline.code, b.beds[i].headline.code);
    for (std::size_t j = 0; j < a.beds[i].pests.size(); ++j) EXPECT_EQ(a.beds[i].pests[j].p_over_soon, b.beds[i].pests[j].p_over_soon);
  }
}

}  // namespace
}  // namespace leafturn::app
