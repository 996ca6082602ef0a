#include "server/clock.hpp"

#include <chrono>

namespace leafturn::server {

Clock system_clock() {
  return [] {
    const auto since = std::chrono::system_clock::now().time_since_epoch();
    return Instant::from_unix_microseconds(std::chrono::duration_cast<std::chrono::microseconds>(since).count());
  };
}

}  // namespace leafturn::server
