// Handing out the day's work: what isn't known of a person is never taken to be so. Common practice, no source, but for spraying: handlers
// are adults and trained (40 CFR 170.309(c), 170.501, from memory).
#include "core/decision/crew.hpp"

#include <gtest/gtest.h>

namespace leafturn::decision {
namespace {

Task task(const char* bed, Skill skill, int minutes) { return {bed, skill, minutes, {"x", {}}, false}; }
Hand hand(const char* name, std::vector<Skill> skills, std::optional<int> minutes) { return {name, std::move(skills), {}, false, minutes}; }

TEST(Crew, spraying_goes_only_to_adults_who_are_trained) {
  Hand anybody = hand("a", {Skill::spray, Skill::work}, 60);
  EXPECT_FALSE(may_do(anybody, Skill::spray)) << "age not known, training not known";
  anybody.trained = true;
  EXPECT_FALSE(may_do(anybody, Skill::spray)) << "age not known";
  anybody.adult = false;
  EXPECT_FALSE(may_do(anybody, Skill::spray)) << "a minor";
  anybody.adult = true;
  EXPECT_TRUE(may_do(anybody, Skill::spray));
  anybody.trained = false;
  EXPECT_FALSE(may_do(anybody, Skill::spray));
  const Crew crew = hand_out({task("1", Skill::spray, 20)}, {anybody});
  ASSERT_EQ(crew.left.size(), 1U);
  EXPECT_EQ(crew.left[0].why.code, "crew.nobody_trained");
}

TEST(Crew, who_has_no_minutes_written_down_gets_no_card) {
  const Crew crew = hand_out({task("1", Skill::work, 5)}, {hand("a", {Skill::work}, {})});
  EXPECT_TRUE(crew.cards.empty());
  EXPECT_EQ(crew.left.size(), 1U);
}

TEST(Crew, nobody_is_sent_into_a_closed_bed_nor_given_more_minutes_than_there_are) {
  Task closed = task("1", Skill::work, 5);
  closed.closed = true;
  const Crew crew = hand_out({closed, task("2", Skill::work, 40), task("3", Skill::work, 30)}, {hand("a", {Skill::work}, 60)});
  ASSERT_EQ(crew.cards.size(), 1U);
  ASSERT_EQ(crew.cards[0].tasks.size(), 1U);
  EXPECT_EQ(crew.cards[0].tasks[0].bed, "2");
  ASSERT_EQ(crew.left.size(), 2U);
  EXPECT_EQ(crew.left[0].why.code, "crew.bed_closed");
  EXPECT_EQ(crew.left[1].why.code, "crew.no_minutes");
}

TEST(Crew, those_who_can_do_more_stay_free_for_it) {
  const Hand picker = hand("picker", {Skill::pick}, 30);
  const Hand scout = hand("scout", {Skill::pick, Skill::count}, 30);
  const Crew crew = hand_out({task("1", Skill::pick, 30), task("2", Skill::count, 30)}, {scout, picker});
  EXPECT_TRUE(crew.left.empty());
  EXPECT_EQ(crew.cards[0].tasks[0].skill, Skill::count);
  EXPECT_EQ(crew.cards[1].tasks[0].skill, Skill::pick);
}

}  // namespace
}  // namespace leafturn::decision
