#pragma once
/// Random numbers for the sixteen members of a block at once: Philox 4×32-10 of core/base/random.hpp, one counter a member.
/// Inside core/population.

#include <array>
#include <bit>
#include <cstdint>

#include "core/base/random.hpp"
#include "core/population/ensemble.hpp"

namespace leafturn::population {

struct LanePlace {
  std::uint64_t seed = 0;
  std::uint32_t first_member = 0;  ///< of the block
  std::int32_t day = 0;
  std::uint16_t bed = 0, pest = 0, part = 0;
  num::Use use = num::Use::population_turn;
};

using Lane = std::array<float, lanes>;

/// Four uniform numbers in (0, 1) a member, in steps of 2⁻²⁴.
void uniforms(const LanePlace& place, std::array<Lane, 4>& out);

/// e^x to 2e-7 relative for |x| ≤ 80 (held there): adding, multiplying and whole numbers only, so that a loop over lanes stays in lanes.
inline float exp_of(float x) {
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
