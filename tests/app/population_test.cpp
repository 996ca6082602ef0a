#include "app/population.hpp"

#include <gtest/gtest.h>

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

}  // namespace
}  // namespace leafturn::app
