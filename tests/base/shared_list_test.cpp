// A list whose copies share, beside a plain vector told the same.

#include "core/base/shared_list.hpp"

#include <gtest/gtest.h>

#include <random>
#include <string>
#include <vector>

namespace leafturn::test {
namespace {

using Strings = SharedList<std::string>;

std::vector<std::string> items(const Strings& list) { return {list.begin(), list.end()}; }

TEST(SharedList, isAListLikeAnyOther) {
  Strings list{"a", "b", "c"};
  EXPECT_EQ(list.size(), 3U);
  EXPECT_EQ(list.front(), "a");
  EXPECT_EQ(list.back(), "c");
  EXPECT_EQ(list[1], "b");
  EXPECT_EQ(std::vector<std::string>(list.rbegin(), list.rend()), (std::vector<std::string>{"c", "b", "a"}));
  EXPECT_EQ(erase_if(list, [](const std::string& s) { return s == "b"; }), 1U);
  EXPECT_EQ(items(list), (std::vector<std::string>{"a", "c"}));
  list.clear();
  EXPECT_TRUE(list.empty());
  EXPECT_EQ(list.begin(), list.end());
}

// Thousands of random changes to a list and to copies and slices taken on the way; a vector beside each says what must be in it.
TEST(SharedList, agreesWithAVectorThroughAnyChanges) {
  std::mt19937 random(20260601);
  struct Pair {
    Strings list;
    std::vector<std::string> plain;
  };
  std::vector<Pair> pairs(1);
  pairs.reserve(6);
  const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
  for (int step = 0; step < 60'000; ++step) {
    Pair& p = pairs[below(pairs.size())];
    const std::string item = std::to_string(step);
    const std::size_t at = p.plain.empty() ? 0 : below(p.plain.size());
    const auto place = p.plain.begin() + static_cast<std::ptrdiff_t>(at);
    switch (random() % 20) {
      case 0:
        p.list.insert(at, item);
        p.plain.insert(place, item);
        break;
      case 1:
        if (p.plain.empty()) break;
        p.list.erase(at);
        p.plain.erase(place);
        break;
      case 2:
        if (p.plain.empty()) break;
        p.list.replace(at, item);
        *place = item;
        break;
      case 3: {
        if (random() % 20 != 0) break;
        const Pair copy = p;
        if (pairs.size() < 6)
          pairs.push_back(copy);
        else
          pairs[below(6)] = copy;
        break;
      }
      case 4: {
        if (random() % 40 != 0) break;
        const std::size_t from = p.plain.empty() ? 0 : below(p.plain.size());
        p.list = p.list.slice(from, p.plain.size());
        p.plain.erase(p.plain.begin(), p.plain.begin() + static_cast<std::ptrdiff_t>(from));
        break;
      }
      case 5: {
        if (random() % 40 != 0) break;
        p.list = p.list.slice(0, at);
        p.plain.resize(at);
        break;
      }
      default:
        p.list.push_back(item);
        p.plain.push_back(item);
    }
    if (step % 500 == 0) {
      for (const Pair& one : pairs) {
        ASSERT_EQ(items(one.list), one.plain) << step;
      }
    }
    if (!p.plain.empty()) {
      ASSERT_EQ(p.list.back(), p.plain.back());
      ASSERT_EQ(p.list[p.plain.size() / 2], p.plain[p.plain.size() / 2]);
    }
  }
}

}  // namespace
}  // namespace leafturn::test
