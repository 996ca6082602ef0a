// From an address into the ledger, once.
#include "app/fetch_weather.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "app/import_garden.hpp"
#include "tests/fetch/server/bad_server.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
using fetch::Asked;
using fetch::BadServer;
using fetch::Connection;

const std::string csv = "date,tmin_c,tmax_c\n2026-05-01,5,15\n2026-05-02,6,16\n";
const std::string longer = csv + "2026-05-03,7,17\n";

class FetchWeather : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = test::fresh_folder(std::string("fetch-weather-") + testing::UnitTest::GetInstance()->current_test_info()->name()) + "/g";
    ASSERT_TRUE(make_demo(folder_, now_));
    garden_ = OpenGarden::open(folder_).value();
    before_ = seq();
  }
  std::uint64_t seq() { return garden_->ledger().last_seq().value(); }
  Result<FetchedWeather> fetch(const std::string& address, bool allow_stale = false, const std::string& name = {}) {
    return fetch_weather(*garden_, folder_, {address, {name, {}, {}, "lead"}, "", "", allow_stale}, now_,
                         {[this] { return clock_; }, [](Duration) {}, [] { return 0.5; }});
  }
  std::size_t copies() const {
    const fs::path folder = fs::path(folder_) / "cache" / "weather";
    return fs::exists(folder) ? static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), {})) : 0;
  }

  Instant now_ = Instant::parse("2026-06-11T23:00Z").value();
  Instant clock_ = Instant::parse("2026-11-01T08:00:00Z").value();
  std::string folder_;
  std::unique_ptr<OpenGarden> garden_;
  std::uint64_t before_ = 0;
};

TEST_F(FetchWeather, once_then_unchanged_then_changed) {
  const BadServer server([](Connection& c, const Asked& asked, int turn) {
    const std::string tag = turn < 3 ? "\"one\"" : "\"two\"";
    if (asked.header("if-none-match") == tag) return c.answer(304, "");
    c.answer(200, turn < 3 ? csv : longer, "Content-Type: text/csv\r\nETag: " + tag + "\r\n");
  });
  const auto first = fetch(server.url("/data/station.csv")).value();
  ASSERT_TRUE(first.added.receipt);
  EXPECT_FALSE(first.unchanged);
  EXPECT_EQ(first.added.name, "station.csv");
  EXPECT_EQ(garden_->ledger().blob_get(first.added.text).value(), csv);
  const auto same = fetch(server.url("/data/station.csv")).value();
  EXPECT_TRUE(same.unchanged);
  EXPECT_FALSE(same.added.receipt);
  EXPECT_EQ(same.added.days, 2U);
  EXPECT_EQ(seq(), before_ + 1);
  const auto changed = fetch(server.url("/data/station.csv")).value();
  EXPECT_FALSE(changed.unchanged);
  ASSERT_TRUE(changed.added.receipt);
  EXPECT_EQ(changed.added.days, 3U);
  EXPECT_EQ(seq(), before_ + 2);
  EXPECT_TRUE(fetch(server.url("/data/station.csv")).value().unchanged);
  const auto asked = server.asked();
  ASSERT_EQ(asked.size(), 4U);
  EXPECT_EQ(asked[0].headers.count("if-none-match"), 0U);
  EXPECT_EQ(asked[1].header("if-none-match"), "\"one\"");
  EXPECT_EQ(asked[2].header("if-none-match"), "\"one\"");
  EXPECT_EQ(asked[3].header("if-none-match"), "\"two\"");
  EXPECT_EQ(copies(), 1U);
}

TEST_F(FetchWeather, the_same_bytes_without_a_tag_add_nothing) {
  const BadServer server([](Connection& c, const Asked&, int) { c.answer(200, csv); });
  ASSERT_TRUE(fetch(server.url()).value().added.receipt);
  const auto again = fetch(server.url()).value();
  EXPECT_FALSE(again.unchanged);
  EXPECT_FALSE(again.added.receipt);
  EXPECT_EQ(seq(), before_ + 1);
}

TEST_F(FetchWeather, stale_only_when_asked_for) {
  std::atomic<int> status{200};
  const BadServer server([&](Connection& c, const Asked&, int) { c.answer(status, csv, "Content-Type: text/csv\r\n"); });
  ASSERT_TRUE(fetch(server.url()).value().added.receipt);
  status = 503;
  clock_ = clock_ + Duration::hours(24);
  EXPECT_EQ(fetch(server.url()).error().code, "fetch.status");
  const auto stale = fetch(server.url(), true).value();
  EXPECT_EQ(stale.stale_since.value().iso_utc(), "2026-11-01T08:00:00Z");
  EXPECT_EQ(stale.trouble.value().code, "fetch.status");
  EXPECT_FALSE(stale.added.receipt);
  EXPECT_EQ(server.asked().size(), 9U);
  // Never of another address.
  EXPECT_EQ(fetch(server.url("/other.csv"), true).error().code, "fetch.status");
  EXPECT_EQ(seq(), before_ + 1);
}

TEST_F(FetchWeather, what_is_no_weather_leaves_nothing_behind) {
  const BadServer server([](Connection& c, const Asked& asked, int) {
    const bool cut = asked.line.find("/cut") != std::string::npos;
    if (cut) c.send("HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\nContent-Length: 999\r\n\r\n" + csv);
    if (!cut) c.answer(200, "date,tmin_c,tmax_c\n2026-05-01,25,15\n");
  });
  EXPECT_EQ(fetch(server.url("/cut.csv")).error().code, "fetch.cut_off");
  EXPECT_EQ(fetch(server.url("/bad.csv")).error().code, "weather.min_above_max");
  EXPECT_EQ(fetch("weather please").error().kind, ErrorKind::bad_input);
  EXPECT_EQ(seq(), before_);
  EXPECT_EQ(copies(), 0U);
}

TEST_F(FetchWeather, a_copy_that_cannot_be_kept_is_only_a_remark) {
  const BadServer server([](Connection& c, const Asked&, int) { c.answer(200, csv); });
  fs::create_directories(fs::path(folder_) / "cache");
  fs::create_symlink("nowhere/at/all", fs::path(folder_) / "cache" / "weather");
  const auto fetched = fetch(server.url()).value();
  EXPECT_TRUE(fetched.added.receipt);
  ASSERT_EQ(fetched.added.notes.size(), 1U);
  EXPECT_EQ(fetched.added.notes[0].code, "fetch.copy_not_kept");
}

}  // namespace
}  // namespace leafturn::app
