#include "core/base/random.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/base/elementary.hpp"

namespace leafturn::num {
namespace {

// The multipliers and key steps of Philox 4×32 (Salmon et al. 2011, section 4.3).
constexpr std::uint32_t multiplier_0 = 0xD2511F53U;
constexpr std::uint32_t multiplier_1 = 0xCD9E8D57U;
constexpr std::uint32_t key_step_0 = 0x9E3779B9U;
constexpr std::uint32_t key_step_1 = 0xBB67AE85U;

constexpr std::int64_t most = std::numeric_limits<std::int64_t>::max();

template <std::size_t N>
double horner(const std::array<double, N>& c, double x) {
  double sum = c[N - 1];
  for (std::size_t i = N - 1; i-- > 0;) sum = sum * x + c[i];
  return sum;
}

// Wichura 1988, Applied Statistics 37:477–484, algorithm AS 241 (PPND16); relative error about 1e-16. Coefficients from memory:
// tests/base checks the result against the C library's complementary error function.
double normal_quantile(double p) {
  static constexpr std::array<double, 8> a{3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3,
                                           1.3731693765509461125e4, 4.5921953931549871457e4, 6.7265770927008700853e4,
                                           3.3430575583588128105e4, 2.5090809287301226727e3};
  static constexpr std::array<double, 8> b{1.0,
                                           4.2313330701600911252e1,
                                           6.8718700749205790830e2,
                                           5.3941960214247511077e3,
                                           2.1213794301586595867e4,
                                           3.9307895800092710610e4,
                                           2.8729085735721942674e4,
                                           5.2264952788528545610e3};
  static constexpr std::array<double, 8> c{1.42343711074968357734e0,  4.63033784615654529590e0, 5.76949722146069140550e0,
                                           3.64784832476320460504e0,  1.27045825245236838258e0, 2.41780725177450611770e-1,
                                           2.27238449892691845833e-2, 7.74545014278341407640e-4};
  static constexpr std::array<double, 8> d{1.0,
                                           2.05319162663775882187e0,
                                           1.67638483018380384940e0,
                                           6.89767334985100004550e-1,
                                           1.48103976427480074590e-1,
                                           1.51986665636164571966e-2,
                                           5.47593808499534494600e-4,
                                           1.05075007164441684324e-9};
  static constexpr std::array<double, 8> e{6.65790464350110377720e0,  5.46378491116411436990e0,  1.78482653991729133580e0,
                                           2.96560571828504891230e-1, 2.65321895265761230930e-2, 1.24266094738807843860e-3,
                                           2.71155556874348757815e-5, 2.01033439929228813265e-7};
  static constexpr std::array<double, 8> f{1.0,
                                           5.99832206555887937690e-1,
                                           1.36929880922735805310e-1,
                                           1.48753612908506148525e-2,
                                           7.86869131145613259100e-4,
                                           1.84631831751005468180e-5,
                                           1.42151175831644588870e-7,
                                           2.04426310338993978564e-15};
  const double q = p - 0.5;
  if (std::abs(q) <= 0.425) {
    const double r = 0.180625 - q * q;
    return q * horner(a, r) / horner(b, r);
  }
  const double r = std::sqrt(-log(q < 0.0 ? p : 1.0 - p));
  const double size = r <= 5.0 ? horner(c, r - 1.6) / horner(d, r - 1.6) : horner(e, r - 5.0) / horner(f, r - 5.0);
  return q < 0.0 ? -size : size;
}

std::int64_t whole(double k) { return k < 9.2e18 ? static_cast<std::int64_t>(k) : most; }

// Sums probabilities until they pass `u`. Rounding can leave a rest that is never passed, hence the cap.
template <class Ratio>
std::int64_t by_inversion(double u, double first, std::int64_t cap, Ratio ratio) {
  double p = first;
  std::int64_t k = 0;
  while (u > p && k < cap) {
    u -= p;
    ++k;
    p *= ratio(static_cast<double>(k));
  }
  return k;
}

}  // namespace

std::array<std::uint32_t, 4> philox4x32(std::array<std::uint32_t, 4> c, std::array<std::uint32_t, 2> k) {
  for (int round = 0; round < 10; ++round) {
    const std::uint64_t p0 = std::uint64_t{multiplier_0} * c[0];
    const std::uint64_t p1 = std::uint64_t{multiplier_1} * c[2];
    c = {static_cast<std::uint32_t>(p1 >> 32) ^ c[1] ^ k[0], static_cast<std::uint32_t>(p1),
         static_cast<std::uint32_t>(p0 >> 32) ^ c[3] ^ k[1], static_cast<std::uint32_t>(p0)};
    k = {k[0] + key_step_0, k[1] + key_step_1};
  }
  return c;
}

// The place is first enciphered under the seed. That map has no collisions, so two places of one seed never share both the key and the
// upper half of the counter: their streams cannot overlap. The lower half counts blocks.
Draws::Draws(const Place& p) {
  const std::array<std::uint32_t, 4> where{p.member, static_cast<std::uint32_t>(p.day), p.bed | (std::uint32_t{p.pest} << 16),
                                           p.stage | (std::uint32_t{static_cast<std::uint16_t>(p.use)} << 16)};
  const auto hidden = philox4x32(where, {static_cast<std::uint32_t>(p.seed), static_cast<std::uint32_t>(p.seed >> 32)});
  key_ = {hidden[0], hidden[1]};
  counter_ = {0, 0, hidden[2], hidden[3]};
}

std::uint64_t Draws::bits() {
  if (used_ == 4) {
    block_ = philox4x32(counter_, key_);
    if (++counter_[0] == 0) ++counter_[1];
    used_ = 0;
  }
  const auto at = static_cast<std::size_t>(used_);
  used_ += 2;
  return block_[at] | (std::uint64_t{block_[at + 1]} << 32);
}

double Draws::uniform() { return (static_cast<double>(bits() >> 12) + 0.5) * 0x1p-52; }
double Draws::normal() { return normal_quantile(uniform()); }
double Draws::exponential() { return -log(uniform()); }

double Draws::gamma(double shape) {
  if (!(shape > 0.0)) return 0.0;
  if (shape < 1.0) {
    const double larger = gamma(shape + 1.0);
    return larger * exp(log(uniform()) / shape);
  }
  const double d = shape - 1.0 / 3.0;
  const double c = 1.0 / std::sqrt(9.0 * d);
  for (;;) {
    const double x = normal();
    const double t = 1.0 + c * x;
    if (t <= 0.0) continue;
    const double v = t * t * t;
    if (log(uniform()) < 0.5 * x * x + d - d * v + d * log(v)) return d * v;
  }
}

std::int64_t Draws::poisson(double mean) {
  if (!(mean > 0.0)) return 0;
  if (mean < 10.0) return by_inversion(uniform(), exp(-mean), 1000, [mean](double k) { return mean / k; });
  if (mean > 1e15) return whole(std::floor(mean + std::sqrt(mean) * normal()));
  // Transformed rejection with squeeze: Hörmann 1993, Insurance: Mathematics and Economics 12:39–45, algorithm PTRS (constants from
  // memory).
  const double b = 0.931 + 2.53 * std::sqrt(mean);
  const double a = -0.059 + 0.02483 * b;
  const double inverse_alpha = 1.1239 + 1.1328 / (b - 3.4);
  const double squeeze = 0.9277 - 3.6224 / (b - 2.0);
  const double log_mean = log(mean);
  for (;;) {
    const double u = uniform() - 0.5;
    const double v = uniform();
    const double us = 0.5 - std::abs(u);
    const double k = std::floor((2.0 * a / us + b) * u + mean + 0.43);
    if (us >= 0.07 && v <= squeeze) return whole(k);
    if (k < 0.0 || (us < 0.013 && v > us)) continue;
    if (log(v * inverse_alpha / (a / (us * us) + b)) <= k * log_mean - mean - log_gamma(k + 1.0)) return whole(k);
  }
}

std::int64_t Draws::binomial(std::int64_t n, double p) {
  if (n <= 0 || !(p > 0.0)) return 0;
  if (p >= 1.0) return n;
  if (p > 0.5) return n - binomial(n, 1.0 - p);
  const auto size = static_cast<double>(n);
  const double odds = p / (1.0 - p);
  if (size * p < 10.0)
    return by_inversion(uniform(), exp(size * log1p(-p)), n, [size, odds](double k) { return (size - k + 1.0) / k * odds; });
  // Hörmann 1993, Journal of Statistical Computation and Simulation 46:101–110, algorithm BTRS (constants from memory).
  const double spread = std::sqrt(size * p * (1.0 - p));
  const double b = 1.15 + 2.53 * spread;
  const double a = -0.0873 + 0.0248 * b + 0.01 * p;
  const double alpha = (2.83 + 5.1 / b) * spread;
  const double squeeze = 0.92 - 4.2 / b;
  const double mode = std::floor((size + 1.0) * p);
  const double at_mode = log_gamma(mode + 1.0) + log_gamma(size - mode + 1.0);
  for (;;) {
    const double u = uniform() - 0.5;
    const double v = uniform();
    const double us = 0.5 - std::abs(u);
    const double k = std::floor((2.0 * a / us + b) * u + size * p + 0.5);
    if (k < 0.0 || k > size) continue;
    if (us >= 0.07 && v <= squeeze) return whole(k);
    const double below_mode = at_mode - log_gamma(k + 1.0) - log_gamma(size - k + 1.0) + (k - mode) * log(odds);
    if (log(v * alpha / (a / (us * us) + b)) <= below_mode) return whole(k);
  }
}

std::int64_t Draws::negative_binomial(double mean, double k) {
  if (!(mean > 0.0) || !(k > 0.0)) return 0;
  return poisson(gamma(k) * (mean / k));
}

}  // namespace leafturn::num
