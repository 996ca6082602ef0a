#pragma once
/// What one core of this processor could do at most, for bounds: float32, in the widest lanes it has, everything in registers or the
/// nearest cache.

namespace leafturn::bench {

/// Multiplications and additions, half each, not fused (as the kernels are compiled).
inline constexpr double operations_a_call = 2.0 * 10.0 * 16.0 * 4096.0;
void multiply_and_add();

inline constexpr double roots_a_call = 2048.0 * 64.0;
void square_roots();

}  // namespace leafturn::bench
