#pragma once
/// Random numbers for the sixteen members of a block at once: Philox 4×32-10 of core/base/random.hpp, one counter a member.
/// Inside core/population.

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

#include "core/base/random.hpp"
#include "core/population/ensemble.hpp"
#include "core/population/in_lanes.hpp"

namespace leafturn::population {

struct LanePlace {
  std::uint64_t seed = 0;
  std::uint32_t first_member = 0;  ///< of the block
  std::int32_t day = 0;
  std::uint16_t bed = 0, pest = 0, part = 0;
  num::Use use = num::Use::population_turn;
};

using Lane = std::array<float, lanes>;

/// Four uniform numbers in (0, 1) a member: 2⁻²⁴ and on from there in steps of 2⁻²³.
void uniforms(const LanePlace& place, std::array<Lane, 4>& out);

/// The same for use inside in_lanes. The constants are those of num::philox4x32; tests/population holds the two against each other.
/// Vectors, because compilers don't make lanes of a loop over wide products.
/// `rough`: four more, in steps of 1/512, of the bits that `fine` leaves.
LEAFTURN_INLINE void uniforms_inline(const LanePlace& place, std::array<Lane, 4>& fine, std::array<Lane, 4>& rough) {
  typedef std::uint32_t Words __attribute__((vector_size(4 * lanes)));
  typedef std::uint64_t Pairs __attribute__((vector_size(4 * lanes)));
  typedef std::int32_t Whole __attribute__((vector_size(4 * lanes)));
  typedef float Shares __attribute__((vector_size(4 * lanes)));
  constexpr std::uint64_t half = 0xFFFFFFFFU;
  // Products of even and odd words; `high` and `low` are the halves of all, in their places.
  const auto multiply = [](const Words& words, std::uint64_t by, Words& high, Words& low) LEAFTURN_LANE_BODY {
    const Pairs pairs = reinterpret_cast<const Pairs&>(words);
    const Pairs even = (pairs & half) * by;
    const Pairs odd = (pairs >> 32) * by;
    high = reinterpret_cast<Words>((even >> 32) | (odd & ~half));
    low = reinterpret_cast<Words>((even & half) | (odd << 32));
  };
  Words a, b = Words{} + static_cast<std::uint32_t>(place.day), c = Words{} + (place.bed | (std::uint32_t{place.pest} << 16)),
           d = Words{} + (place.part | (std::uint32_t{static_cast<std::uint16_t>(place.use)} << 16));
  for (std::size_t l = 0; l < lanes; ++l) a[l] = place.first_member + static_cast<std::uint32_t>(l);
  auto k0 = static_cast<std::uint32_t>(place.seed);
  auto k1 = static_cast<std::uint32_t>(place.seed >> 32);
  for (int i = 0; i < 10; ++i, k0 += 0x9E3779B9U, k1 += 0xBB67AE85U) {
    Words high_a, high_c, low_a, low_c;
    multiply(a, 0xD2511F53U, high_a, low_a);
    multiply(c, 0xCD9E8D57U, high_c, low_c);
    a = high_c ^ b ^ k0;
    c = high_a ^ d ^ k1;
    b = low_c;
    d = low_a;
  }
  const auto as_shares = [](const Words& from, Lane& to, Lane& rest) LEAFTURN_LANE_BODY {
    const Shares shares = (__builtin_convertvector(reinterpret_cast<Whole>(from >> 9), Shares) + 0.5F) * 0x1p-23F;
    std::memcpy(to.data(), &shares, sizeof shares);
    const Shares rests = (__builtin_convertvector(reinterpret_cast<Whole>(from & 511U), Shares) + 0.5F) * 0x1p-9F;
    std::memcpy(rest.data(), &rests, sizeof rests);
  };
  as_shares(a, fine[0], rough[0]);
  as_shares(b, fine[1], rough[1]);
  as_shares(c, fine[2], rough[2]);
  as_shares(d, fine[3], rough[3]);
}

/// e^x to 2e-7 relative for |x| ≤ 80 (held there), by the polynomial of the Cephes library's expf (coefficients from memory): adding,
/// multiplying and whole numbers only, so that a loop over lanes stays in lanes.
LEAFTURN_INLINE float exp_of(float x) {
  const float held = x < -80.0F ? -80.0F : (x > 80.0F ? 80.0F : x);
  const float turns = held * 1.44269504F + 12582912.0F;  // 1.5·2²³: the sum's last bits are the whole number
  const float whole = turns - 12582912.0F;
  const float r = (held - whole * 0.693359375F) + whole * 2.12194440e-4F;
  float p = 1.9875691e-4F;
  p = p * r + 1.3981999e-3F;
  p = p * r + 8.3334519e-3F;
  p = p * r + 4.1665796e-2F;
  p = p * r + 1.6666665e-1F;
  p = p * r + 0.5F;
  p = p * r * r + r + 1.0F;
  const auto power = (static_cast<std::uint32_t>(static_cast<std::int32_t>(whole)) + 127U) << 23U;
  return p * std::bit_cast<float>(power);
}

}  // namespace leafturn::population
