#include "core/population/lane_random.hpp"

namespace leafturn::population {
namespace {

using Word = std::array<std::uint32_t, lanes>;

// One round in all lanes. The constants are those of num::philox4x32; tests/population holds the two against each other.
void round(std::array<Word, 4>& c, std::uint32_t k0, std::uint32_t k1) {
  for (std::size_t l = 0; l < lanes; ++l) {
    const std::uint64_t p0 = std::uint64_t{0xD2511F53U} * c[0][l];
    const std::uint64_t p1 = std::uint64_t{0xCD9E8D57U} * c[2][l];
    const std::uint32_t c1 = c[1][l];
    const std::uint32_t c3 = c[3][l];
    c[0][l] = static_cast<std::uint32_t>(p1 >> 32) ^ c1 ^ k0;
    c[1][l] = static_cast<std::uint32_t>(p1);
    c[2][l] = static_cast<std::uint32_t>(p0 >> 32) ^ c3 ^ k1;
    c[3][l] = static_cast<std::uint32_t>(p0);
  }
}

}  // namespace

void uniforms(const LanePlace& place, std::array<Lane, 4>& out) {
  std::array<Word, 4> c;
  for (std::size_t l = 0; l < lanes; ++l) {
    c[0][l] = place.first_member + static_cast<std::uint32_t>(l);
    c[1][l] = static_cast<std::uint32_t>(place.day);
    c[2][l] = place.bed | (std::uint32_t{place.pest} << 16);
    c[3][l] = place.part | (std::uint32_t{static_cast<std::uint16_t>(place.use)} << 16);
  }
  auto k0 = static_cast<std::uint32_t>(place.seed);
  auto k1 = static_cast<std::uint32_t>(place.seed >> 32);
  for (int i = 0; i < 10; ++i, k0 += 0x9E3779B9U, k1 += 0xBB67AE85U) round(c, k0, k1);
  for (std::size_t w = 0; w < 4; ++w)
    for (std::size_t l = 0; l < lanes; ++l) out[w][l] = (static_cast<float>(static_cast<std::int32_t>(c[w][l] >> 9)) + 0.5F) * 0x1p-23F;
}

}  // namespace leafturn::population
