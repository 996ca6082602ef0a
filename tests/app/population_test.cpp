#include "app/population.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "app/brief.hpp"
#include "app/import_garden.hpp"
#include "io/event_json.hpp"
#include "store/ledger.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

TEST(Population, LargeGardensRunFewerMembers) {
  EXPECT_EQ(members_for(1), usual_members);
  EXPECT_EQ(members_for(30), usual_members);
  EXPECT_EQ(members_for(60), usual_members / 2);
  EXPECT_EQ(members_for(200), 256U);
  EXPECT_EQ(members_for(100'000), 256U);
  for (std::size_t beds = 1; beds < 300; ++beds) EXPECT_EQ(members_for(beds) % population::lanes, 0U) << beds;
}

// A count a minute over three days drove members that no count spoke for to infinity, and with them every mean.
TEST(Population, CountsByTheMinuteLeaveEveryMeanFinite) {
  const std::string folder = test::fresh_folder("population-by-the-minute") + "/g";
  ASSERT_TRUE(make_demo(folder, Instant::parse("2026-06-11T12:00Z").value()));
  {
    const auto ledger = store::open_sqlite(folder + "/ledger.db").value();
    std::vector<store::Envelope> batch;
    Instant at = Instant::parse("2026-05-22T12:00Z").value();
    for (std::uint64_t n = 1; n <= 4'400; ++n, at = at + Duration::minutes(1)) {
      const garden::Event event{
          {Id::version7(n, {}), "minute", n, at, {}},
          garden::CountTaken{std::to_string(1 + (n - 1) % 11), "imported-cabbageworm", "larva", 10, static_cast<int>((n - 1) % 7)}};
      batch.push_back({event.heading.id, "minute", n, at, io::encode_event(event)});
    }
    ASSERT_TRUE(ledger->append(batch, at));
  }
  const auto garden = OpenGarden::open(folder).value();
  const auto answer = brief(*garden, {}, Instant::parse("2026-06-11T12:00Z").value());
  ASSERT_TRUE(answer) << answer.error().code;
  int estimates = 0;
  for (const auto& bed : answer->brief.beds)
    for (const auto& pest : bed.pests)
      if (pest.density) {
        ++estimates;
        EXPECT_TRUE(std::isfinite(pest.density->mean) && pest.density->mean < 1e4) << bed.bed << " " << pest.pest;
      }
  EXPECT_GT(estimates, 5);
}

}  // namespace
}  // namespace leafturn::app
