// A weather file into a garden: once, read the same way for ever, and nothing of a bad one.
#include "app/add_weather.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>

#include "app/import_garden.hpp"
#include "app/materials.hpp"
#include "core/base/sha256.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

class AddWeather : public testing::Test {
 protected:
  void SetUp() override {
    const auto name = std::string("add-weather-") + testing::UnitTest::GetInstance()->current_test_info()->name();
    folder_ = test::fresh_folder(name);
    ASSERT_TRUE(make_demo(folder_ + "/g", now_));
    garden_ = OpenGarden::open(folder_ + "/g").value();
    before_ = seq();
  }
  std::uint64_t seq() { return garden_->ledger().last_seq().value(); }
  garden::Garden state(const char* at = "2027-01-01T00:00Z") { return garden_->garden_at(Instant::parse(at).value()).value(); }
  Result<AddedWeather> add(const std::string& bytes, const std::string& name, std::optional<std::string> units = {},
                           std::optional<std::string> station = {}) {
    return add_weather(*garden_, bytes, {name, std::move(units), std::move(station), "lead"}, now_);
  }
  /// The file of ours, told by its first day from the demo's two.
  weather::DailySeries ours() {
    const auto files = weather_of(*garden_, state()).value();
    for (const auto& file : files)
      if (file.series.first() == *Date::parse("2026-05-01")) return file.series;
    return {};
  }
  bool known(const std::string& name, const char* at) {
    const auto there = state(at).weather;
    return std::any_of(there.begin(), there.end(), [&](const auto& w) { return w.what.name == name; });
  }

  Instant now_ = Instant::parse("2026-06-11T23:00Z").value();
  std::string folder_;
  std::unique_ptr<OpenGarden> garden_;
  std::uint64_t before_ = 0;
};

const std::string two_days = "date,tmin_c,tmax_c\n2026-05-01,5,15\n2026-05-02,6,\n2026-05-03,7,19\n";

TEST_F(AddWeather, once_and_says_what_it_added) {
  const auto added = add(two_days, "shed").value();
  ASSERT_TRUE(added.receipt);
  EXPECT_EQ(added.receipt->seq, before_ + 1);
  EXPECT_EQ(added.days, 2U);
  EXPECT_EQ(added.first.iso(), "2026-05-01");
  EXPECT_EQ(added.last.iso(), "2026-05-03");
  EXPECT_FALSE(added.issued);
  EXPECT_EQ(garden_->ledger().blob_get(added.text).value(), two_days);
  const auto again = add(two_days, "shed").value();
  EXPECT_FALSE(again.receipt);
  EXPECT_EQ(again.text, added.text);
  EXPECT_EQ(seq(), before_ + 1);
  // Recorded weather counts from the garden's beginning, as import has it.
  EXPECT_TRUE(known("shed", "2026-05-10T00:00Z"));
}

TEST_F(AddWeather, the_files_of_the_demo_are_there_already) {
  for (const char* name : {"station.csv", "forecast.csv"}) {
    const auto added = add_weather_file(*garden_, test::source_path(std::string("demo/weather/") + name), {}, now_).value();
    EXPECT_FALSE(added.receipt) << name;
    EXPECT_EQ(added.issued.has_value(), std::string(name) == "forecast.csv");
  }
  EXPECT_EQ(seq(), before_);
}

TEST_F(AddWeather, a_changed_file_replaces_the_one_of_its_name_and_may_change_back) {
  const std::string longer = two_days + "2026-05-04,8,20\n";
  for (const auto& bytes : {two_days, longer, two_days}) ASSERT_TRUE(add(bytes, "shed").value().receipt);
  EXPECT_EQ(seq(), before_ + 3);
  EXPECT_EQ(weather_of(*garden_, state()).value().size(), 5U) << "the demo's four and one of ours";
  EXPECT_EQ(ours().last().iso(), "2026-05-03");
}

TEST_F(AddWeather, units_given_are_read_so_for_ever) {
  const std::string bare = "date,tmin,tmax\n2026-05-01,41,59\n";
  ASSERT_TRUE(add(bare, "bare", "F").value().receipt);
  EXPECT_NEAR(ours().days().front().max->celsius(), 15.0, 1e-9);
  // Other units are another saying about the same bytes.
  const auto other = add("date,tmin,tmax\n2026-05-01,4,15\n", "bare", "C").value();
  ASSERT_TRUE(other.receipt);
  EXPECT_NEAR(ours().days().front().max->celsius(), 15.0, 1e-9);
  EXPECT_TRUE(add("date,tmin,tmax\n2026-05-01,4,15\n", "bare", "F").value().receipt);
  EXPECT_NEAR(ours().days().front().max->celsius(), (15.0 - 32.0) / 1.8, 1e-9);
  EXPECT_EQ(add(bare, "bare", "K").error().code, "weather.units_word");
}

TEST_F(AddWeather, the_station_named_is_the_one_read) {
  const std::string both = "station,date,tmin_c,tmax_c\nA,2026-05-01,5,15\nB,2026-05-01,1,11\n";
  EXPECT_EQ(add(both, "both").error().code, "weather.several_stations");
  EXPECT_EQ(add(both, "both", {}, "C").error().code, "weather.no_such_station");
  EXPECT_EQ(seq(), before_);
  ASSERT_TRUE(add(both, "both", {}, "B").value().receipt);
  EXPECT_NEAR(ours().days().front().max->celsius(), 11.0, 1e-9);
}

TEST_F(AddWeather, a_forecast_counts_from_the_day_it_was_made) {
  const std::string forecast = "date,tmin_c,tmax_c,issued\n2026-06-12,5,15,2026-06-10\n2026-06-13,5,16,2026-06-10\n";
  const auto added = add(forecast, "ahead").value();
  ASSERT_TRUE(added.receipt);
  EXPECT_EQ(added.issued->iso(), "2026-06-10");
  EXPECT_FALSE(known("ahead", "2026-06-09T12:00Z"));
  EXPECT_TRUE(known("ahead", "2026-06-10T12:00Z"));
  const std::string later = "date,tmin_c,tmax_c,issued\n2026-07-12,5,15,2026-07-10\n";
  EXPECT_EQ(add(later, "ahead").error().code, "garden.in_the_future");
}

TEST_F(AddWeather, nothing_of_a_bad_file_is_kept) {
  const std::string bad = "date,tmin_c,tmax_c\n2026-05-01,25,15\n";
  EXPECT_EQ(add(bad, "bad").error().code, "weather.min_above_max");
  EXPECT_EQ(add("<!doctype html><title>x</title>", "page").error().kind, ErrorKind::bad_input);
  EXPECT_EQ(add(two_days, std::string(100, 'n')).error().code, "garden.text_too_long");
  EXPECT_EQ(add_weather_file(*garden_, folder_ + "/none.csv", {}, now_).error().code, "file.missing");
  const std::string path = folder_ + "/bad.csv";
  std::ofstream(path) << bad;
  EXPECT_EQ(add_weather_file(*garden_, path, {}, now_).error().where.file, path);
  EXPECT_EQ(seq(), before_);
  EXPECT_EQ(garden_->ledger().blob_get(sha256(bad)).error().code, "ledger.no_such_blob");
}

}  // namespace
}  // namespace leafturn::app
