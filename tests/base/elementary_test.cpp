// Our elementary functions against the C library's 64-bit-mantissa `long double` versions, which carry 11 bits more.
#include "core/base/elementary.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>

#include "tests/support/check_rows.hpp"

namespace num = leafturn::num;
using leafturn::test::check_row_between;
using leafturn::test::From;

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();

// Distance in units of the last place of the exact value.
double ulps(double got, long double exact) {
  const double rounded = static_cast<double>(exact);
  if (std::isinf(rounded) || std::isinf(got)) return num::exactly_equal(rounded, got) ? 0.0 : 1e9;
  int exponent = 0;
  std::frexp(rounded, &exponent);
  const int place = std::max(exponent - 53, -1074);
  return static_cast<double>(std::abs(static_cast<long double>(got) - exact) / std::ldexp(1.0L, place));
}

// A small generator of the test's own (splitmix64), so that these tests don't lean on core/base/random.
struct Random {
  std::uint64_t state;
  std::uint64_t bits() {
    state += 0x9e3779b97f4a7c15ULL;
    std::uint64_t z = state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  double unit() { return static_cast<double>(bits() >> 11) * 0x1p-53; }
  double between(double a, double b) { return a + (b - a) * unit(); }
  // Same chance for every power of ten, either sign when `both`.
  double log_uniform(double a, double b, bool both) {
    const double size = std::exp(between(std::log(a), std::log(b)));
    return both && (bits() & 1) != 0 ? -size : size;
  }
};

struct Worst {
  double error = 0.0;
  double at = 0.0;
  void see(double x, double e) {
    if (e > error || std::isnan(e)) {
      error = e;
      at = x;
    }
  }
};

template <class Ours, class Exact, class Draw>
Worst worst_of(Ours ours, Exact exact, Draw draw, int tries = 200'000) {
  Random random{20260531};
  Worst worst;
  for (int i = 0; i < tries; ++i) {
    const double x = draw(random);
    worst.see(x, ulps(ours(x), exact(static_cast<long double>(x))));
  }
  return worst;
}

void within(const char* id, const char* what, double bound, Worst worst) {
  SCOPED_TRACE(testing::Message() << "worst at " << std::hexfloat << worst.at);
  check_row_between({std::string("base.elementary.") + id, std::string(what) + ": worst error of 200,000 draws",
                     "GNU C library, long double version", "independent", From::independent, 0.0, 0.0, "ulp"},
                    0.0, bound, worst.error);
}

}  // namespace

TEST(Elementary, ExpWithinOneUlp) {
  within("exp", "exp on ±(1e-12 … 709)", 1.0,
         worst_of(num::exp, [](long double x) { return std::exp(x); }, [](Random& r) { return r.log_uniform(1e-12, 709.0, true); }));
  within("exp.small", "exp on ±½ ln 2", 1.0,
         worst_of(num::exp, [](long double x) { return std::exp(x); }, [](Random& r) { return r.between(-0.3466, 0.3466); }));
}

TEST(Elementary, Expm1WithinTwoUlp) {
  within("expm1", "expm1 on ±(1e-18 … 45)", 2.0,
         worst_of(num::expm1, [](long double x) { return std::expm1(x); }, [](Random& r) { return r.log_uniform(1e-18, 45.0, true); }));
}

TEST(Elementary, LogWithinOneUlp) {
  within("log", "log on 1e-320 … 1e308", 1.0,
         worst_of(num::log, [](long double x) { return std::log(x); }, [](Random& r) { return r.log_uniform(1e-320, 1e308, false); }));
  within("log.near_one", "log on ½ … 2", 1.0,
         worst_of(num::log, [](long double x) { return std::log(x); }, [](Random& r) { return r.between(0.5, 2.0); }));
}

TEST(Elementary, Log1pWithinTwoUlp) {
  within("log1p", "log1p on 1e-18 … 1e300", 2.0,
         worst_of(num::log1p, [](long double x) { return std::log1p(x); }, [](Random& r) { return r.log_uniform(1e-18, 1e300, false); }));
  within("log1p.negative", "log1p on −1 … 1", 2.0,
         worst_of(num::log1p, [](long double x) { return std::log1p(x); }, [](Random& r) { return r.between(-0.9999, 1.0); }));
}

TEST(Elementary, SineAndCosineWithinTwoUlp) {
  const auto draw = [](Random& r) { return r.log_uniform(1e-10, 1e5, true); };
  within("sin", "sin on ±(1e-10 … 1e5)", 2.0, worst_of(num::sin, [](long double x) { return std::sin(x); }, draw));
  within("cos", "cos on ±(1e-10 … 1e5)", 2.0, worst_of(num::cos, [](long double x) { return std::cos(x); }, draw));
  within("tan", "tan on ±(1e-10 … 1e5)", 4.0, worst_of(num::tan, [](long double x) { return std::tan(x); }, draw));
}

TEST(Elementary, SineBesideItsZerosKeepsItsDigits) {
  // The doubles next to every multiple of π/2 up to 1e5: here the reduction loses most.
  Worst sine, cosine;
  for (int k = 1; k < 63'600; ++k) {
    const double x = k * (num::pi / 2);
    sine.see(x, ulps(num::sin(x), std::sin(static_cast<long double>(x))));
    cosine.see(x, ulps(num::cos(x), std::cos(static_cast<long double>(x))));
  }
  within("sin.zeros", "sin beside multiples of π/2", 2.0, sine);
  within("cos.zeros", "cos beside multiples of π/2", 2.0, cosine);
}

TEST(Elementary, InverseFunctionsWithinTwoUlp) {
  const auto unit = [](Random& r) { return r.between(-1.0, 1.0); };
  const auto small = [](Random& r) { return r.log_uniform(1e-12, 1.0, true); };
  within("asin", "asin on −1 … 1", 2.0, worst_of(num::asin, [](long double x) { return std::asin(x); }, unit));
  within("asin.small", "asin on ±(1e-12 … 1)", 2.0, worst_of(num::asin, [](long double x) { return std::asin(x); }, small));
  within("acos", "acos on −1 … 1", 2.0, worst_of(num::acos, [](long double x) { return std::acos(x); }, unit));
  within("acos.near_one", "acos on 1 − (1e-16 … 1)", 2.0,
         worst_of(num::acos, [](long double x) { return std::acos(x); }, [](Random& r) { return 1.0 - r.log_uniform(1e-16, 1.0, false); }));
  within("atan", "atan on ±(1e-12 … 1e12)", 2.0,
         worst_of(num::atan, [](long double x) { return std::atan(x); }, [](Random& r) { return r.log_uniform(1e-12, 1e12, true); }));
}

TEST(Elementary, Atan2WithinFourUlp) {
  Random random{7};
  Worst worst;
  for (int i = 0; i < 200'000; ++i) {
    const double y = random.log_uniform(1e-6, 1e6, true);
    const double x = random.log_uniform(1e-6, 1e6, true);
    worst.see(y / x, ulps(num::atan2(y, x), std::atan2(static_cast<long double>(y), static_cast<long double>(x))));
  }
  within("atan2", "atan2 on ±(1e-6 … 1e6)²", 4.0, worst);
}

TEST(Elementary, PowWithinItsRelativeBound) {
  Random random{11};
  double worst = 0.0;
  for (int i = 0; i < 200'000; ++i) {
    const double x = random.log_uniform(1e-30, 1e30, false);
    const double y = random.between(-10.0, 10.0);
    const long double exact = std::pow(static_cast<long double>(x), static_cast<long double>(y));
    worst = std::max(worst, static_cast<double>(std::abs(num::pow(x, y) - exact) / exact));
  }
  check_row_between({"base.elementary.pow", "pow on (1e-30 … 1e30)^±10: worst relative error", "GNU C library, long double version",
                     "independent", From::independent, 0, 0, ""},
                    0.0, 2e-13, worst);
}

TEST(Elementary, LogGammaWithinItsRelativeBound) {
  Random random{13};
  double worst = 0.0;
  double at = 0.0;
  for (int i = 0; i < 200'000; ++i) {
    const double x = i % 2 == 0 ? random.log_uniform(1e-12, 1e12, false) : random.between(0.4, 12.0);
    const long double exact = std::lgamma(static_cast<long double>(x));
    const double error = static_cast<double>(std::abs((num::log_gamma(x) - exact) / exact));
    if (error > worst) {
      worst = error;
      at = x;
    }
  }
  SCOPED_TRACE(at);
  check_row_between({"base.elementary.log_gamma", "log Γ on 1e-12 … 1e12: worst relative error", "GNU C library, long double version",
                     "independent", From::independent, 0, 0, ""},
                    0.0, 1e-13, worst);
}

TEST(Elementary, LogGammaOfSmallNumbersIsTheLogarithmOfTheFactorial) {
  double factorial = 1.0;
  for (int n = 1; n < 19; ++n) {
    EXPECT_NEAR(num::log_gamma(n), std::log(factorial), 1e-13 * std::max(1.0, std::log(factorial))) << n;
    factorial *= n;
  }
  EXPECT_NEAR(num::log_gamma(0.5), 0.5 * std::log(num::pi), 1e-15);
}

TEST(Elementary, ExponentialRangeEnds) {
  EXPECT_TRUE(num::exactly_equal(num::exp(710.0), inf));
  EXPECT_TRUE(num::exactly_equal(num::exp(-746.0), 0.0));
  EXPECT_TRUE(num::exactly_equal(num::exp(0.0), 1.0));
  EXPECT_TRUE(num::exactly_equal(num::exp(inf), inf));
  EXPECT_TRUE(num::exactly_equal(num::exp(-inf), 0.0));
  EXPECT_TRUE(num::is_nan(num::exp(nan_value)));
  EXPECT_LE(ulps(num::exp(709.782712893384), std::exp(static_cast<long double>(709.782712893384))), 1.0);
  EXPECT_LE(ulps(num::exp(-745.1), std::exp(static_cast<long double>(-745.1))), 1.0) << "a subnormal result";
  EXPECT_TRUE(num::exactly_equal(num::expm1(-1000.0), -1.0));
  EXPECT_TRUE(num::exactly_equal(num::expm1(1000.0), inf));
}

TEST(Elementary, SpecialPointsFollowAnnexF) {
  EXPECT_TRUE(num::exactly_equal(num::log(0.0), -inf));
  EXPECT_TRUE(num::is_nan(num::log(-1.0)));
  EXPECT_TRUE(num::exactly_equal(num::log(1.0), 0.0));
  EXPECT_TRUE(num::exactly_equal(num::log1p(-1.0), -inf));
  EXPECT_TRUE(num::is_nan(num::log1p(-1.5)));
  for (const double zero : {0.0, -0.0})
    for (double (*f)(double) : {num::sin, num::tan, num::asin, num::atan, num::expm1, num::log1p}) {
      EXPECT_TRUE(num::exactly_equal(f(zero), 0.0));
      EXPECT_EQ(std::signbit(f(zero)), std::signbit(zero));
    }
  EXPECT_TRUE(num::is_nan(num::sin(inf)));
  EXPECT_TRUE(num::is_nan(num::cos(-inf)));
  EXPECT_TRUE(num::is_nan(num::tan(nan_value)));
  EXPECT_TRUE(num::is_nan(num::asin(1.0000001)));
  EXPECT_TRUE(num::is_nan(num::acos(-1.0000001)));
  EXPECT_TRUE(num::exactly_equal(num::acos(1.0), 0.0));
  EXPECT_TRUE(num::exactly_equal(num::acos(-1.0), num::pi));
  EXPECT_TRUE(num::exactly_equal(num::asin(1.0), num::pi / 2));
  EXPECT_TRUE(num::exactly_equal(num::atan(inf), num::pi / 2));
  EXPECT_TRUE(num::exactly_equal(num::atan(-inf), -num::pi / 2));
  EXPECT_TRUE(num::exactly_equal(num::log_gamma(0.0), inf));
  EXPECT_TRUE(num::is_nan(num::log_gamma(-0.5)));
}

TEST(Elementary, Atan2AndPowTablesOfAnnexF) {
  const double special[] = {0.0, -0.0, 1.0, -1.0, 2.0, -2.0, 0.5, -0.5, 3.0, -3.0, 1e300, -1e300, 1e-300, -1e-300, inf, -inf, nan_value};
  for (const double a : special)
    for (const double b : special) {
      const double angle = std::atan2(a, b);
      if (std::isnan(angle)) {
        EXPECT_TRUE(num::is_nan(num::atan2(a, b))) << a << ' ' << b;
      } else {
        EXPECT_NEAR(num::atan2(a, b), angle, 1e-15 * std::abs(angle)) << a << ' ' << b;
        EXPECT_EQ(std::signbit(num::atan2(a, b)), std::signbit(angle)) << a << ' ' << b;
      }
      const double power = std::pow(a, b);
      const double ours = num::pow(a, b);
      if (std::isnan(power)) {
        EXPECT_TRUE(num::is_nan(ours)) << a << " ^ " << b;
      } else if (std::isinf(power) || std::abs(power) < 1e-307) {
        EXPECT_TRUE(num::exactly_equal(ours, power)) << a << " ^ " << b << " is " << power << " not " << ours;
        EXPECT_EQ(std::signbit(ours), std::signbit(power)) << a << " ^ " << b;
      } else {
        EXPECT_NEAR(ours / power, 1.0, 2e-13) << a << " ^ " << b;
      }
    }
}

TEST(Elementary, WholePowersOfTenAreExact) {
  double power = 1.0;
  for (int n = 0; n <= 22; ++n) {
    EXPECT_TRUE(num::exactly_equal(num::pow(10.0, n), power)) << n;
    power *= 10.0;
  }
}

// The bits themselves: any compiler, flag or processor that changes one of them changes results kept in ledgers.
TEST(Elementary, SameBitsEverywhere) {
  std::uint64_t hash = 1469598103934665603ULL;
  const auto mix = [&](double v) {
    std::uint64_t bits = 0;
    static_assert(sizeof bits == sizeof v);
    std::memcpy(&bits, &v, sizeof bits);
    hash = (hash ^ bits) * 1099511628211ULL;
  };
  Random random{99};
  for (int i = 0; i < 20'000; ++i) {
    const double x = random.between(-30.0, 30.0);
    const double u = random.unit();
    for (const double v : {num::exp(x), num::expm1(x), num::log(u), num::log1p(u), num::pow(u, x), num::sin(x), num::cos(x), num::tan(x),
                           num::asin(u), num::acos(u), num::atan(x), num::atan2(x, u), num::log_gamma(30.0 * u)})
      mix(v);
  }
  EXPECT_EQ(hash, 0xa956221f411b06fdULL) << std::hex << hash;
}
