#pragma once
/// Random numbers as a function of where they are used, not of when: the same (seed, member, day, bed, pest, stage, use)
/// gives the same number in any order, on any number of threads. Philox 4×32-10 (Salmon, Moraes, Dror & Shaw 2011, SC'11,
/// "Parallel random numbers: as easy as 1, 2, 3"), checked against its published test vectors in tests/base.

#include <array>
#include <cstdint>

namespace leafturn::num {

/// What a draw is for; two uses at one place never share numbers. Never renumber: results would change.
enum class Use : std::uint16_t {
  test = 0,
  weather_member = 1,
  count_sampling = 2,
  fit = 3,
  bench = 4,
  population_turn = 5,
  population_prior = 6,
  population_resampling = 7,
  population_jitter = 8,
  population_newcomers = 9,
  population_score = 10,
};

/// The coordinates of a draw.
struct Place {
  std::uint64_t seed = 0;
  std::uint32_t member = 0;
  std::int32_t day = 0;
  std::uint16_t bed = 0;
  std::uint16_t pest = 0;
  std::uint16_t stage = 0;
  Use use = Use::test;
};

/// The raw generator: ten rounds of Philox 4×32.
std::array<std::uint32_t, 4> philox4x32(std::array<std::uint32_t, 4> counter, std::array<std::uint32_t, 2> key);

/// A stream of numbers at one place. Copies continue independently with the same numbers. Two places of one seed never share a stream.
/// A parameter outside the stated range (or NaN) gives 0.
class Draws {
 public:
  explicit Draws(const Place& place);
  std::uint64_t bits();
  double uniform();                                       ///< in (0, 1), never an end; steps of 2^-52
  double normal();                                        ///< mean 0, variance 1 (inverse of the distribution function)
  double exponential();                                   ///< mean 1
  double gamma(double shape);                             ///< scale 1, shape > 0 (Marsaglia & Tsang 2000)
  std::int64_t poisson(double mean);                      ///< mean ≥ 0
  std::int64_t binomial(std::int64_t n, double p);        ///< n ≥ 0, 0 ≤ p ≤ 1
  std::int64_t negative_binomial(double mean, double k);  ///< variance mean + mean²/k

 private:
  std::array<std::uint32_t, 4> counter_;
  std::array<std::uint32_t, 2> key_;
  std::array<std::uint32_t, 4> block_{};
  int used_ = 4;
};

}  // namespace leafturn::num
