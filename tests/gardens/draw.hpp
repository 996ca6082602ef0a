#pragma once
/// Random numbers of the true gardens: every draw is a function of a key (seed, day, bed, who …), never of what was drawn before, so
/// that two policies on one garden meet the same weather, arrivals and fates. Written out in full, elementary functions too: the
/// distributions of the standard library differ between its makers, and so do the last bits of exp and log.

#include <cmath>
#include <cstdint>
#include <initializer_list>

namespace leafturn::gardens {

constexpr double pi = 3.14159265358979323846;

/// e^x; relative error below 1e-14, 0 below -700.
inline double exp_of(double x) {
  if (x < -700.0) return 0.0;
  const double k = std::floor(x / 0.693147180559945309 + 0.5);
  const double r = x - k * 0.693147180369123816 - k * 1.90821492927058770e-10;
  double sum = 1.0;
  for (int n = 14; n >= 1; --n) sum = 1.0 + r * sum / n;
  return std::ldexp(sum, static_cast<int>(k));
}

/// Natural logarithm of x > 0; relative error below 1e-13.
inline double log_of(double x) {
  int e = 0;
  double m = std::frexp(x, &e);
  if (m < 0.70710678118654752) {
    m *= 2.0;
    --e;
  }
  const double s = (m - 1.0) / (m + 1.0), z = s * s;
  double sum = 0.0;
  for (int n = 21; n >= 1; n -= 2) sum = 1.0 / n + z * sum;
  return 2.0 * s * sum + e * 0.693147180559945309;
}

inline double pow_of(double base, double power) { return base <= 0.0 ? 0.0 : exp_of(power * log_of(base)); }

/// Sine; absolute error below 1e-13 for |x| < 1000.
inline double sin_of(double x) {
  x -= 2.0 * pi * std::floor(x / (2.0 * pi) + 0.5);
  if (x > pi / 2) x = pi - x;
  if (x < -pi / 2) x = -pi - x;
  const double z = x * x;
  double sum = 1.0;
  for (int n = 20; n >= 2; n -= 2) sum = 1.0 - z * sum / (n * (n + 1));
  return x * sum;
}
inline double cos_of(double x) { return sin_of(x + pi / 2); }

/// The finaliser of splitmix64 (Steele, Lea & Flood 2014; constants from memory).
inline std::uint64_t mix(std::uint64_t z) {
  z += 0x9E3779B97F4A7C15ULL;
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
  return z ^ (z >> 31U);
}

inline std::uint64_t key_of(std::uint64_t a, std::uint64_t b) { return mix(a ^ mix(b)); }
inline std::uint64_t key_of(std::initializer_list<std::uint64_t> parts) {
  std::uint64_t h = 0x5851F42D4C957F2DULL;
  for (const std::uint64_t part : parts) h = key_of(h, part);
  return h;
}
/// In (0, 1).
inline double unit_of(std::uint64_t key) { return (static_cast<double>(mix(key) >> 11U) + 0.5) * 0x1.0p-53; }

/// A stream of draws from one key.
class Draw {
 public:
  explicit Draw(std::uint64_t key) : state_{key} {}
  Draw(std::initializer_list<std::uint64_t> parts) : state_{key_of(parts)} {}
  double unit() { return unit_of(state_++ * 0xD1342543DE82EF95ULL + 1U); }
  double between(double low, double high) { return low + (high - low) * unit(); }
  int whole(int low, int high) { return low + static_cast<int>(unit() * (high - low + 1)); }  ///< both ends in
  bool chance(double p) { return unit() < p; }
  double normal() {
    const double r = std::sqrt(-2.0 * log_of(unit()));
    return r * cos_of(2.0 * pi * unit());
  }
  /// Multiplied or divided by up to `by`, evenly on the log scale.
  double fold(double by) { return exp_of(between(-1.0, 1.0) * log_of(by)); }
  double log_normal(double sd_log) { return exp_of(sd_log * normal()); }
  /// Marsaglia & Tsang 2000 (from memory); mean = shape.
  double gamma(double shape) {
    if (shape < 1.0) return gamma(shape + 1.0) * pow_of(unit(), 1.0 / shape);
    const double d = shape - 1.0 / 3.0, c = 1.0 / std::sqrt(9.0 * d);
    for (;;) {
      const double x = normal(), v0 = 1.0 + c * x;
      if (v0 <= 0.0) continue;
      const double v = v0 * v0 * v0;
      if (log_of(unit()) < 0.5 * x * x + d - d * v + d * log_of(v)) return d * v;
    }
  }
  /// Above 30 by the normal curve, rounded.
  int poisson(double mean) {
    if (mean <= 0.0) return 0;
    if (mean > 30.0) return rounded(mean + std::sqrt(mean) * normal());
    double p = exp_of(-mean), sum = p;
    const double u = unit();
    int n = 0;
    while (u > sum && n < 200) {
      ++n;
      p *= mean / n;
      sum += p;
    }
    return n;
  }
  /// Exact while n p (1 - p) is small, else by the normal curve, rounded.
  int binomial(int n, double p) {
    if (n <= 0 || p <= 0.0) return 0;
    if (p >= 1.0) return n;
    if (n > 12 && n * p * (1.0 - p) > 9.0) {
      const int x = rounded(n * p + std::sqrt(n * p * (1.0 - p)) * normal());
      return x > n ? n : x;
    }
    if (n <= 12) {
      int x = 0;
      for (int i = 0; i < n; ++i) x += unit() < p;
      return x;
    }
    const bool swap = p > 0.5;
    const double q = swap ? 1.0 - p : p;
    double term = pow_of(1.0 - q, n), sum = term;
    const double u = unit(), odds = q / (1.0 - q);
    int x = 0;
    while (u > sum && x < n) {
      term *= odds * (n - x) / (x + 1);
      ++x;
      sum += term;
    }
    return swap ? n - x : x;
  }

 private:
  static int rounded(double x) { return x < 0.5 ? 0 : static_cast<int>(x + 0.5); }
  std::uint64_t state_;
};

}  // namespace leafturn::gardens
