#include "core/base/elementary.hpp"

#include <array>
#include <bit>
#include <cmath>
#include <limits>

// Every function reduces its argument to a short interval without losing bits (Cody & Waite 1980, "Software Manual for the
// Elementary Functions": the constant is split so that its products are exact) and sums a polynomial there. Taylor coefficients are
// exact fractions; the arcsine's polynomial and the arctangent's table were computed with 300-bit arithmetic.

namespace leafturn::num {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

// ln 2 in two parts; the first has 32 bits, so k·ln2_high is exact for |k| < 2^21.
constexpr double ln2_high = 0x1.62e42feep-1;
constexpr double ln2_low = 0x1.a39ef35793c76p-33;
constexpr double per_ln2 = 0x1.71547652b82fep+0;

// π/2 in three parts of 53 bits each.
constexpr std::array<double, 3> half_pi{0x1.921fb54442d18p+0, 0x1.1a62633145c07p-54, -0x1.f1976b7ed8fbcp-110};
constexpr double two_per_pi = 0x1.45f306dc9c883p-1;

template <std::size_t N>
constexpr double horner(const std::array<double, N>& c, double x) {
  double sum = c[N - 1];
  for (std::size_t i = N - 1; i-- > 0;) sum = sum * x + c[i];
  return sum;
}

std::uint64_t bits_of(double x) { return std::bit_cast<std::uint64_t>(x); }
bool negative(double x) { return (bits_of(x) >> 63) != 0; }
bool is_infinite(double x) { return (bits_of(x) & 0x7fff'ffff'ffff'ffffULL) == 0x7ff0'0000'0000'0000ULL; }
bool is_zero(double x) { return (bits_of(x) << 1) == 0; }
double with_sign_of(double magnitude, double sign) { return negative(sign) ? -magnitude : magnitude; }

double power_of_two(int k) { return std::bit_cast<double>(static_cast<std::uint64_t>(k + 1023) << 52); }
// x·2^k in two steps, because 2^k itself may be out of range.
double scaled(double x, int k) {
  const int half = k / 2;
  return x * power_of_two(half) * power_of_two(k - half);
}

// A value and the rest that did not fit into it.
struct Pair {
  double high = 0.0;
  double low = 0.0;
};

Pair sum_exactly(double a, double b) {
  const double s = a + b;
  const double bb = s - a;
  return {s, (a - (s - bb)) + (b - bb)};
}

Pair split(double a) {
  const double t = a * 134217729.0;  // 2^27 + 1 (Veltkamp)
  const double high = t - (t - a);
  return {high, a - high};
}

Pair multiply_exactly(double a, double b) {  // Dekker
  const double p = a * b;
  const Pair x = split(a);
  const Pair y = split(b);
  return {p, ((x.high * y.high - p) + x.high * y.low + x.low * y.high) + x.low * y.low};
}

// (exp(r) − 1 − r)/r² by its Taylor series, |r| ≤ ln 2 / 2.
constexpr std::array<double, 12> exp_tail{0x1.0000000000000p-1,  0x1.5555555555555p-3,  0x1.5555555555555p-5,  0x1.1111111111111p-7,
                                          0x1.6c16c16c16c17p-10, 0x1.a01a01a01a01ap-13, 0x1.a01a01a01a01ap-16, 0x1.71de3a556c734p-19,
                                          0x1.27e4fb7789f5cp-22, 0x1.ae64567f544e4p-26, 0x1.1eed8eff8d898p-29, 0x1.6124613a86d09p-33};

struct ExpParts {
  int k = 0;
  double r = 0.0;     // x − k ln 2, rounded
  double tail = 0.0;  // exp(exact rest) − 1 − r
};

ExpParts reduce_exp(double x) {
  const double k = std::floor(x * per_ln2 + 0.5);
  const double high = x - k * ln2_high;
  const double low = k * ln2_low;
  const double r = high - low;
  const double lost = (high - r) - low;
  return {static_cast<int>(k), r, r * r * horner(exp_tail, r) + lost};
}

// 2·(atanh(s)/s − 1) as a series in s²: log(1+f) = 2 atanh(f/(2+f)).
constexpr std::array<double, 11> atanh_tail{2.0 / 3,  2.0 / 5,  2.0 / 7,  2.0 / 9,  2.0 / 11, 2.0 / 13,
                                            2.0 / 15, 2.0 / 17, 2.0 / 19, 2.0 / 21, 2.0 / 23};

// k ln 2 + log(1+f) + correction, for √½ ≤ 1+f < √2.
double log_from_parts(int k, double f, double correction) {
  const double half_square = 0.5 * f * f;
  const double s = f / (2.0 + f);
  const double z = s * s;
  const double rest = z * horner(atanh_tail, z);
  const double kd = k;
  return kd * ln2_high - ((half_square - (s * (half_square + rest) + (kd * ln2_low + correction))) - f);
}

struct LogParts {
  int k = 0;
  double m = 1.0;  // in [√½, √2)
};

LogParts split_exponent(double x) {
  int k = 0;
  if (x < std::numeric_limits<double>::min()) {
    x *= 0x1p54;
    k = -54;
  }
  const std::uint64_t bits = bits_of(x);
  k += static_cast<int>(bits >> 52) - 1023;
  double m = std::bit_cast<double>((bits & 0x000f'ffff'ffff'ffffULL) | 0x3ff0'0000'0000'0000ULL);
  if (m >= 0x1.6a09e667f3bcdp+0) {  // √2
    m *= 0.5;
    ++k;
  }
  return {k, m};
}

// x less the nearest multiple of π/2, as a pair, and which multiple (mod 4). |x| ≤ 1e15.
struct Quadrant {
  int n = 0;
  Pair r;
};

Quadrant reduce_angle(double x) {
  if (std::abs(x) <= 0.7853981633974483) return {0, {x, 0.0}};
  const double n = std::floor(x * two_per_pi + 0.5);
  const Pair p0 = multiply_exactly(n, half_pi[0]);
  const Pair p1 = multiply_exactly(n, half_pi[1]);
  const Pair a = sum_exactly(x, -p0.high);
  const Pair b = sum_exactly(a.high, -p0.low);
  const Pair c = sum_exactly(b.high, -p1.high);
  const double low = a.low + b.low + c.low - p1.low - n * half_pi[2];
  const Pair r = sum_exactly(c.high, low);
  const auto whole = static_cast<std::int64_t>(n);
  return {static_cast<int>(whole & 3), r};
}

// sin(r)/r and cos(r) less their first terms, as series in r², |r| ≤ π/4.
constexpr std::array<double, 8> sin_tail{-0x1.5555555555555p-3,  0x1.1111111111111p-7,  -0x1.a01a01a01a01ap-13, 0x1.71de3a556c734p-19,
                                         -0x1.ae64567f544e4p-26, 0x1.6124613a86d09p-33, -0x1.ae7f3e733b81fp-41, 0x1.952c77030ad4ap-49};
constexpr std::array<double, 8> cos_tail{0x1.5555555555555p-5,  -0x1.6c16c16c16c17p-10, 0x1.a01a01a01a01ap-16, -0x1.27e4fb7789f5cp-22,
                                         0x1.1eed8eff8d898p-29, -0x1.93974a8c07c9dp-37, 0x1.ae7f3e733b81fp-45, -0x1.6827863b97d97p-53};

double sin_near_zero(Pair r) {
  const double z = r.high * r.high;
  return r.high + (r.high * z * horner(sin_tail, z) + r.low * (1.0 - 0.5 * z));
}

double cos_near_zero(Pair r) {
  const double z = r.high * r.high;
  const double half = 0.5 * z;
  const double w = 1.0 - half;
  return w + (((1.0 - w) - half) + (z * z * horner(cos_tail, z) - r.high * r.low));
}

constexpr double largest_angle = 1e15;

// atan(i/16) as pairs.
constexpr std::array<Pair, 17> atan_table{{
    {0x0.0p+0, 0x0.0p+0},
    {0x1.ff55bb72cfdeap-5, -0x1.c934d86d23f1dp-60},
    {0x1.fd5ba9aac2f6ep-4, -0x1.cd37686760c17p-59},
    {0x1.7b97b4bce5b02p-3, 0x1.347b0b4f881cap-58},
    {0x1.f5b75f92c80ddp-3, 0x1.8ab6e3cf7afbdp-57},
    {0x1.362773707ebccp-2, -0x1.963a544b672d8p-57},
    {0x1.6f61941e4def1p-2, -0x1.c63aae6f6e918p-56},
    {0x1.a64eec3cc23fdp-2, -0x1.24dec1b50b7ffp-56},
    {0x1.dac670561bb4fp-2, 0x1.a2b7f222f65e2p-56},
    {0x1.0657e94db30d0p-1, -0x1.d5b495f6349e6p-56},
    {0x1.1e00babdefeb4p-1, -0x1.928df287a668fp-58},
    {0x1.345f01cce37bbp-1, 0x1.1021137c71102p-55},
    {0x1.4978fa3269ee1p-1, 0x1.2419a87f2a458p-56},
    {0x1.5d58987169b18p-1, 0x1.0028e4bc5e7cap-57},
    {0x1.700a7c5784634p-1, -0x1.8c34d25aadef6p-56},
    {0x1.819d0b7158a4dp-1, -0x1.bf76229d3b917p-56},
    {0x1.921fb54442d18p-1, 0x1.1a62633145c07p-55},
}};

constexpr std::array<double, 6> atan_tail{-1.0 / 3, 1.0 / 5, -1.0 / 7, 1.0 / 9, -1.0 / 11, 1.0 / 13};

// atan on [0, 1] as a pair.
Pair atan_unit(double q) {
  const double i = std::floor(q * 16.0 + 0.5);
  const double c = i / 16.0;
  const double t = (q - c) / (1.0 + q * c);
  const double z = t * t;
  const Pair& base = atan_table[static_cast<std::size_t>(i)];
  const double rest = base.low + t * z * horner(atan_tail, z);
  return i < 0.5 ? Pair{t, rest} : sum_exactly(base.high, t + rest);
}

// (asin(x) − x)/x³ as a polynomial in x² on [0, ¼], absolute error 1.5e-17.
constexpr std::array<double, 13> asin_tail{0x1.5555555555556p-3, 0x1.3333333332ecap-4, 0x1.6db6db6e31f13p-5, 0x1.f1c71c1db0623p-6,
                                           0x1.6e8bb1c8209a2p-6, 0x1.1c4d35cf95421p-6, 0x1.c9cf07674736ap-7, 0x1.782651caa6547p-7,
                                           0x1.52420b04b37bep-7, 0x1.65a9c4dfcf8b2p-8, 0x1.1d189408314eep-6, -0x1.e6aaa8a0a04ccp-7,
                                           0x1.d72b2bc8155f8p-6};

// asin(√z) for 0 ≤ z ≤ ¼ as a pair: the root's own rounding is put back.
Pair asin_of_root(double z) {
  if (is_zero(z)) return {};
  const double s = std::sqrt(z);
  const Pair square = multiply_exactly(s, s);
  const double lost = ((z - square.high) - square.low) / (2.0 * s);
  return {s, s * z * horner(asin_tail, z) + lost};
}

double whole_power(double x, int n) {
  double result = 1.0;
  for (auto left = static_cast<unsigned>(n < 0 ? -n : n); left != 0; left >>= 1) {
    if ((left & 1U) != 0) result *= x;
    x *= x;
  }
  return n < 0 ? 1.0 / result : result;
}

enum class Whole { no, even, odd };
Whole wholeness(double y) {
  if (std::abs(y) >= 0x1p53) return Whole::even;
  if (!exactly_equal(std::floor(y), y)) return Whole::no;
  return (static_cast<std::int64_t>(y) & 1) != 0 ? Whole::odd : Whole::even;
}

double pow_infinite_exponent(double size, double y) {
  if (exactly_equal(size, 1.0)) return 1.0;
  return (size > 1.0) != negative(y) ? infinity : 0.0;
}

// (ζ(k) − 1)(−1)^k / k for k = 2…31: log Γ(2+e) = (1−γ)e + Σ c_k e^k (Abramowitz & Stegun 1964, 6.1.33).
constexpr std::array<double, 30> log_gamma_at_two{
    0.3224670334241132,      -0.0673523010531981,    0.020580808427784546,    -0.007385551028673986,   0.0028905103307415234,
    -0.001192753911703261,   0.0005096695247430425,  -0.00022315475845357939, 9.945751278180853e-05,   -4.492623673813314e-05,
    2.050721277567069e-05,   -9.439488275268397e-06, 4.374866789907488e-06,   -2.039215753801366e-06,  9.55141213040742e-07,
    -4.492469198764566e-07,  2.1207184805554665e-07, -1.0043224823968099e-07, 4.7698101693639804e-08,  -2.2711094608943164e-08,
    1.0838659214896955e-08,  -5.183475041970047e-09, 2.4836745438024785e-09,  -1.1921401405860912e-09, 5.731367241678862e-10,
    -2.7595228851242334e-10, 1.330476437424449e-10,  -6.4229645638381e-11,    3.1044247747322276e-11,  -1.5021384080754142e-11};
constexpr double one_less_euler = 0.42278433509846713;

double log_gamma_near_two(double e) { return e * (one_less_euler + e * horner(log_gamma_at_two, e)); }

// Stirling's series, B_2k / (2k(2k−1)) (Abramowitz & Stegun 1964, 6.1.41).
constexpr std::array<double, 8> stirling{1.0 / 12,   -1.0 / 360,        1.0 / 1260, -1.0 / 1680,
                                         1.0 / 1188, -691.0 / 360360.0, 1.0 / 156,  -3617.0 / 122400.0};

}  // namespace

bool exactly_equal(double a, double b) { return !(a < b) && !(a > b) && !is_nan(a) && !is_nan(b); }
bool is_nan(double x) { return (bits_of(x) & 0x7fff'ffff'ffff'ffffULL) > 0x7ff0'0000'0000'0000ULL; }
double sqrt(double x) { return std::sqrt(x); }

double exp(double x) {
  if (is_nan(x)) return x;
  if (x > 709.782712893384) return infinity;
  if (x < -745.1332191019412) return 0.0;
  const ExpParts e = reduce_exp(x);
  const Pair sum = sum_exactly(1.0, e.r);
  return scaled(sum.high + (sum.low + e.tail), e.k);
}

double expm1(double x) {
  if (is_nan(x) || is_zero(x)) return x;
  if (x > 40.0) return exp(x);  // 1 is less than half a unit in the last place
  if (x < -40.0) return -1.0;
  if (std::abs(x) < 0x1p-54) return x;
  const ExpParts e = reduce_exp(x);
  if (e.k == 0) return e.r + e.tail;
  const double two_k = power_of_two(e.k);
  const Pair whole = sum_exactly(two_k, -1.0);
  const Pair sum = sum_exactly(whole.high, two_k * e.r);
  return sum.high + (sum.low + whole.low + two_k * e.tail);
}

double log(double x) {
  if (is_nan(x)) return x;
  if (is_zero(x)) return -infinity;
  if (x < 0.0) return not_a_number;
  if (is_infinite(x)) return x;
  const LogParts parts = split_exponent(x);
  return log_from_parts(parts.k, parts.m - 1.0, 0.0);
}

double log1p(double x) {
  if (is_nan(x) || is_zero(x)) return x;
  if (x < -1.0) return not_a_number;
  if (exactly_equal(x, -1.0)) return -infinity;
  if (is_infinite(x)) return x;
  if (std::abs(x) < 0x1p-54) return x;
  if (x >= -0.2928932188134524 && x < 0.4142135623730950) return log_from_parts(0, x, 0.0);
  const Pair u = sum_exactly(1.0, x);
  const LogParts parts = split_exponent(u.high);
  return log_from_parts(parts.k, parts.m - 1.0, u.low / u.high);
}

double pow(double x, double y) {
  if (is_zero(y) || exactly_equal(x, 1.0)) return 1.0;
  if (is_nan(x)) return x;
  if (is_nan(y)) return y;
  const double size = std::abs(x);
  if (is_infinite(y)) return pow_infinite_exponent(size, y);
  const Whole whole = wholeness(y);
  const bool minus = negative(x) && whole == Whole::odd;
  if (is_zero(x) || is_infinite(x)) {
    const double magnitude = is_zero(x) != negative(y) ? 0.0 : infinity;
    return minus ? -magnitude : magnitude;
  }
  if (x < 0.0 && whole == Whole::no) return not_a_number;
  const double exponent = y * log(size);
  // Short whole powers by multiplication, so that pow(10, 2) is 100.
  const bool multiply = whole != Whole::no && std::abs(y) <= 64.0 && std::abs(exponent) < 690.0;
  const double magnitude = multiply ? whole_power(size, static_cast<int>(y)) : exp(exponent);
  return minus ? -magnitude : magnitude;
}

double sin(double x) {
  if (!(std::abs(x) <= largest_angle)) return not_a_number;
  if (std::abs(x) < 0x1p-27) return x;
  const Quadrant q = reduce_angle(x);
  const double value = (q.n & 1) != 0 ? cos_near_zero(q.r) : sin_near_zero(q.r);
  return (q.n & 2) != 0 ? -value : value;
}

double cos(double x) {
  if (!(std::abs(x) <= largest_angle)) return not_a_number;
  const Quadrant q = reduce_angle(x);
  const double value = (q.n & 1) != 0 ? sin_near_zero(q.r) : cos_near_zero(q.r);
  return ((q.n + 1) & 2) != 0 ? -value : value;
}

double tan(double x) {
  if (!(std::abs(x) <= largest_angle)) return not_a_number;
  if (std::abs(x) < 0x1p-27) return x;
  const Quadrant q = reduce_angle(x);
  const double s = sin_near_zero(q.r);
  const double c = cos_near_zero(q.r);
  return (q.n & 1) != 0 ? -c / s : s / c;
}

double asin(double x) {
  if (is_nan(x)) return x;
  const double size = std::abs(x);
  if (size > 1.0) return not_a_number;
  if (size < 0.5) {
    const double z = x * x;
    return x + x * z * horner(asin_tail, z);
  }
  const Pair half = asin_of_root((1.0 - size) * 0.5);
  const Pair sum = sum_exactly(half_pi[0], -2.0 * half.high);
  return with_sign_of(sum.high + (sum.low + half_pi[1] - 2.0 * half.low), x);
}

double acos(double x) {
  if (is_nan(x)) return x;
  const double size = std::abs(x);
  if (size > 1.0) return not_a_number;
  if (size < 0.5) {
    const double z = x * x;
    const Pair sum = sum_exactly(half_pi[0], -x);
    return sum.high + (sum.low + half_pi[1] - x * z * horner(asin_tail, z));
  }
  const Pair half = asin_of_root((1.0 - size) * 0.5);
  if (x > 0.0) return 2.0 * (half.high + half.low);
  const Pair sum = sum_exactly(2.0 * half_pi[0], -2.0 * half.high);
  return sum.high + (sum.low + 2.0 * half_pi[1] - 2.0 * half.low);
}

double atan(double x) {
  if (is_nan(x) || std::abs(x) < 0x1p-27) return x;
  const double size = std::abs(x);
  if (size <= 1.0) {
    const Pair a = atan_unit(size);
    return with_sign_of(a.high + a.low, x);
  }
  const Pair a = atan_unit(1.0 / size);
  const Pair sum = sum_exactly(half_pi[0], -a.high);
  return with_sign_of(sum.high + (sum.low + half_pi[1] - a.low), x);
}

double atan2(double y, double x) {
  if (is_nan(x)) return x;
  if (is_nan(y)) return y;
  const bool left = negative(x);
  if (is_zero(y)) return with_sign_of(left ? pi : 0.0, y);
  if (is_zero(x)) return with_sign_of(half_pi[0], y);
  if (is_infinite(x) && is_infinite(y)) return with_sign_of(left ? 3.0 * (pi / 4.0) : pi / 4.0, y);
  const double acute = atan(std::abs(y / x));
  return with_sign_of(left ? pi - (acute - 2.0 * half_pi[1]) : acute, y);
}

double log_gamma(double x) {
  if (is_nan(x)) return x;
  if (is_infinite(x) && x > 0.0) return x;
  if (is_zero(x)) return infinity;
  if (x < 0.0) return not_a_number;
  if (x <= 0.5) return log_gamma_near_two(x) - log1p(x) - log(x);
  if (x < 1.5) return log_gamma_near_two(x - 1.0) - log1p(x - 1.0);
  if (x < 8.0) {
    double product = 1.0;
    while (x > 2.5) {
      x -= 1.0;
      product *= x;
    }
    return log_gamma_near_two(x - 2.0) + log(product);
  }
  constexpr double half_log_two_pi = 0.9189385332046728;
  const double inverse = 1.0 / x;
  const double tail = inverse * horner(stirling, inverse * inverse);
  return (x - 0.5) * (log(x) - 1.0) + (half_log_two_pi - 0.5 + tail);
}

}  // namespace leafturn::num
