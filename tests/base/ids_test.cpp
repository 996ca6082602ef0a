#include "core/base/ids.hpp"

#include <gtest/gtest.h>

namespace leafturn {
namespace {

// RFC 9562, appendix A.6: the example of a version 7 UUID (from memory).
TEST(Id, Version7MatchesTheExampleOfRfc9562) {
  // rand_a = 0xCC3, rand_b = 0x18C4DC0C0C07398F (62 bits).
  const Id id = Id::version7(0x017F22E279B0, {0x0C, 0xC3, 0x18, 0xC4, 0xDC, 0x0C, 0x0C, 0x07, 0x39, 0x8F});
  EXPECT_EQ(id.text(), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
}

TEST(Id, OrderFollowsTime) {
  EXPECT_LT(Id::version7(1000, {0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff}), Id::version7(1001, {}));
}

TEST(Id, TextComesBackInEitherCase) {
  const Id id = Id::version7(1, {1, 2, 3, 4, 5, 6, 7, 8, 9, 10});
  EXPECT_EQ(Id::parse(id.text()), id);
  EXPECT_EQ(Id::parse("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")->text(), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
}

TEST(Id, ParseRefusesWhatIsNoUuid) {
  for (const char* bad :
       {"", "017f22e279b07cc398c4dc0c0c07398f", "017f22e2-79b0-7cc3-98c4-dc0c0c07398", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
        "017f22e2079b0-7cc3-98c4-dc0c0c07398f", "017f22e2-79b0-7cc3-98c4-dc0c0c07398f ", "{017f22e2-79b0-7cc3-98c4-dc0c0c073}"})
    EXPECT_FALSE(Id::parse(bad)) << bad;
}

TEST(Digest, HexComesBack) {
  const std::string hex = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
  ASSERT_TRUE(Digest::parse(hex));
  EXPECT_EQ(Digest::parse(hex)->hex(), hex);
  EXPECT_EQ(Digest::parse(hex)->bytes[0], 0xba);
  EXPECT_FALSE(Digest::parse(hex.substr(1)));
  EXPECT_FALSE(Digest::parse(hex + "00"));
  EXPECT_FALSE(Digest::parse("z" + hex.substr(1)));
}

}  // namespace
}  // namespace leafturn
