// A kept brief is never older than what is written down, and never a wrong moment's.
#include "app/brief_cache.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <thread>

#include "app/import_garden.hpp"
#include "app/record.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

const Instant now = *Instant::parse("2026-06-13T11:30:00Z");

class Cache : public testing::Test {
 protected:
  void SetUp() override {
    const std::string folder =
        test::fresh_folder(std::string("brief_cache_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    ASSERT_TRUE(make_demo(folder + "/garden", *Instant::parse("2027-01-15T12:00:00Z")));
    auto opened = OpenGarden::open(folder + "/garden");
    ASSERT_TRUE(opened);
    garden_ = std::move(*opened);
    // As a garden in use: without a day of its own the clock decides.
    auto described = *garden_->garden_at(now)->described;
    described.own_day.reset();
    ASSERT_TRUE(record_saying(*garden_, described, "test", "", now - Duration::hours(1), now));
    bed_ = garden_->garden_at(now)->beds.front().bed;
  }
  std::shared_ptr<const BriefAnswer> ask(Instant clock, std::optional<Instant> at = {}) {
    auto got = cache_.get(*garden_, at, clock);
    EXPECT_TRUE(got);
    return got ? *got : nullptr;
  }
  void water(Instant when) {
    const auto done =
        record_saying(*garden_, garden::WorkDone{garden::WorkDone::Kind::water, bed_, ""}, "test", "", when, now + Duration::minutes(4));
    ASSERT_TRUE(done) << done.error().code;
  }
  std::unique_ptr<OpenGarden> garden_;
  std::string bed_;
  BriefCache cache_{2};
};

TEST_F(Cache, the_same_question_is_answered_once) {
  const auto first = ask(now);
  EXPECT_EQ(ask(now), first);
  EXPECT_EQ(ask(now + Duration::seconds(59)), first);
  EXPECT_EQ(cache_.made(), 1U);
  EXPECT_NE(ask(now + Duration::seconds(60)), first);
  EXPECT_NE(ask(now - Duration::seconds(1)), first) << "an earlier moment isn't told with a later one's brief";
}

TEST_F(Cache, a_given_time_is_that_time_alone) {
  const auto first = ask(now, now);
  EXPECT_EQ(ask(now + Duration::hours(5), now), first);
  EXPECT_NE(ask(now, now + Duration::seconds(1)), first);
}

TEST_F(Cache, what_was_just_written_down_is_in_the_next_answer) {
  const auto first = ask(now);
  water(now);
  const auto next = ask(now);
  EXPECT_NE(next, first);
  EXPECT_EQ(next->garden.work.size(), first->garden.work.size() + 1);
}

TEST_F(Cache, what_takes_effect_within_the_minute_is_not_missed) {
  water(now + Duration::seconds(20));
  const auto first = ask(now);
  EXPECT_EQ(ask(now + Duration::seconds(19)), first);
  EXPECT_EQ(ask(now + Duration::seconds(20))->garden.work.size(), first->garden.work.size() + 1);
}

TEST_F(Cache, a_new_day_is_a_new_brief) {
  const Instant midnight = *Instant::parse("2026-06-14T05:00:00Z");
  const auto eve = ask(midnight - Duration::seconds(10));
  const auto day = ask(midnight);
  EXPECT_NE(day, eve);
  EXPECT_EQ(day->brief.day.iso(), "2026-06-14");
}

TEST_F(Cache, it_keeps_only_so_many) {
  const auto first = ask(now, now);
  ask(now, now + Duration::hours(1));
  ask(now, now + Duration::hours(2));
  EXPECT_NE(ask(now, now), first);
}

TEST_F(Cache, writers_beside_readers_are_never_left_out) {
  std::atomic<bool> done{false};
  std::thread reader([&] {
    while (!done) (void)cache_.get(*garden_, {}, now);
  });
  for (std::size_t i = 0; i < 3; ++i) {
    const auto before = ask(now)->garden.work.size();
    water(now);
    EXPECT_EQ(ask(now)->garden.work.size(), before + 1);
  }
  done = true;
  reader.join();
}

// While one is being made, the one before may stand in: never for who wrote since, nor after what may lock a bed.
TEST_F(Cache, a_stand_in_holds_what_binds_and_what_its_asker_wrote) {
  const auto first = ask(now);
  const std::uint64_t seen = first->garden.last_seq;
  std::atomic<bool> done{false};
  std::thread maker([&] {
    while (!done) (void)cache_.get(*garden_, now + Duration::hours(1), now);
  });
  for (std::size_t i = 0; i < 6; ++i) {
    const bool binds = i % 2 == 1;
    const std::uint64_t before = *garden_->last_seq();
    if (binds)
      ASSERT_TRUE(record_saying(*garden_, garden::WorkDone{garden::WorkDone::Kind::cover, bed_, ""}, "test", "", now, now));
    else
      water(now);
    const auto stood_in = cache_.get(*garden_, {}, now, seen);
    ASSERT_TRUE(stood_in);
    if (binds) {
      EXPECT_GT((*stood_in)->garden.last_seq, before);
    }
    const auto own = cache_.get(*garden_, {}, now, before + 1);
    ASSERT_TRUE(own);
    EXPECT_GT((*own)->garden.last_seq, before);
  }
  done = true;
  maker.join();
  water(now);
  EXPECT_EQ((*cache_.get(*garden_, {}, now + Duration::seconds(5), seen))->garden.last_seq, *garden_->last_seq())
      << "nobody is making one and few ask: made at once";
}

// As people with phones write: dated now, between the brief there is and the one asked for.
TEST_F(Cache, many_who_ask_are_served_past_a_count_of_this_minute_and_never_past_a_cover) {
  const auto crowd = [&](Instant clock) {
    Result<std::shared_ptr<const BriefAnswer>> last = cache_.get(*garden_, {}, clock, 0);
    for (int i = 0; i < 12 && last; ++i) last = cache_.get(*garden_, {}, clock, 0);
    EXPECT_TRUE(last);
    return *last;
  };
  const auto first = crowd(now);
  water(now + Duration{300'000});
  EXPECT_EQ(cache_.get(*garden_, {}, now + Duration{400'000}, 0).value(), first);
  ASSERT_TRUE(record_saying(*garden_, garden::WorkDone{garden::WorkDone::Kind::cover, bed_, ""}, "test", "", now + Duration{500'000},
                            now + Duration::minutes(4)));
  const auto covered = cache_.get(*garden_, {}, now + Duration{600'000}, 0);
  ASSERT_TRUE(covered);
  EXPECT_GE((*covered)->garden.last_seq, *garden_->last_seq());
}

}  // namespace
}  // namespace leafturn::app
