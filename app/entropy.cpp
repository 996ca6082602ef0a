#include "app/entropy.hpp"

#include <random>

namespace leafturn::app {

Id fresh_id(Instant now) {
  // random_device reads the kernel's generator on every system we build for.
  std::random_device source;
  std::array<std::uint8_t, 10> random{};
  for (auto& byte : random) byte = static_cast<std::uint8_t>(source() & 0xffU);
  return Id::version7(static_cast<std::uint64_t>(now.unix_microseconds() / 1000), random);
}

}  // namespace leafturn::app
