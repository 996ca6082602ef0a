#include "app/workers.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include <numeric>

namespace leafturn::app {
namespace {

TEST(WorkerPool, EveryTaskIsDoneOnce) {
  for (const std::size_t threads : {1U, 2U, 4U}) {
    WorkerPool pool(threads);
    for (const std::size_t count : {0U, 1U, 2U, 3U, 1000U})
      for (int round = 0; round < 20; ++round) {
        std::vector<int> done(count, 0);
        pool.run(count, [&](std::size_t i) { ++done[i]; });
        EXPECT_EQ(std::accumulate(done.begin(), done.end(), 0), static_cast<int>(count));
        EXPECT_EQ(std::count(done.begin(), done.end(), 1), static_cast<std::ptrdiff_t>(count));
      }
  }
}

TEST(WorkerPool, ATaskMayAskForTasksAndSoMayOthers) {
  WorkerPool pool(3);
  std::vector<std::atomic<int>> done(50);
  pool.run(10, [&](std::size_t i) { pool.run(5, [&](std::size_t k) { ++done[i * 5 + k]; }); });
  std::thread other([&] { pool.run(50, [&](std::size_t i) { ++done[i]; }); });
  pool.run(50, [&](std::size_t i) { ++done[i]; });
  other.join();
  for (const auto& n : done) EXPECT_EQ(n, 3);
}

}  // namespace
}  // namespace leafturn::app
