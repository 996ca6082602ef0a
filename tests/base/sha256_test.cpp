// The examples of FIPS 180-4 (NIST, SHA-256 example file) and of RFC 6234 §8.5.
#include "core/base/sha256.hpp"

#include <algorithm>

namespace leafturn {
namespace {

TEST(Sha256, PublishedExamples) {
  EXPECT_EQ(sha256("abc").hex(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("").hex(), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq").hex(),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256(std::string(1'000'000, 'a')).hex(), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

// Around the block's edges the padding takes one block or two.
TEST(Sha256, LengthsAroundABlockDiffer) {
  std::vector<std::string> seen;
  for (std::size_t n = 50; n <= 130; ++n) seen.push_back(sha256(std::string(n, 'x')).hex());
  std::sort(seen.begin(), seen.end());
  EXPECT_EQ(std::unique(seen.begin(), seen.end()), seen.end());
}

}  // namespace
}  // namespace leafturn
