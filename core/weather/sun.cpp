#include "core/weather/sun.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

#include "core/base/elementary.hpp"
#include "core/weather/sun_geocentric.hpp"
#include "core/weather/sun_terms.hpp"

// Section and equation numbers are those of Reda & Andreas 2004.

namespace leafturn::weather {
namespace {

constexpr double degree = num::pi / 180.0;
double sind(double degrees) { return num::sin(degrees * degree); }
double cosd(double degrees) { return num::cos(degrees * degree); }
double tand(double degrees) { return num::tan(degrees * degree); }
double within(double x, double turn) { return x - turn * std::floor(x / turn); }
// Nearest to zero: −180 … 180.
double signed_degrees(double x) { return within(x + 180.0, 360.0) - 180.0; }

template <std::size_t N>
constexpr double polynomial(const std::array<double, N>& c, double x) {
  double sum = c[N - 1];
  for (std::size_t i = N - 1; i-- > 0;) sum = sum * x + c[i];
  return sum;
}

template <std::size_t N>
double sum_of(const std::array<sun_terms::Term, N>& terms, double t) {
  double sum = 0.0;
  for (const auto& term : terms) sum += term.a * num::cos(term.b + term.c * t);
  return sum;
}

constexpr double seconds_per_day = 86'400.0;
constexpr double sun_radius = 0.26667;         // degrees
constexpr double horizon_refraction = 0.5667;  // degrees
constexpr double rise_elevation = -(sun_radius + horizon_refraction);
constexpr double sidereal_degrees_per_day = 360.985647;

double julian_day(Instant t) { return static_cast<double>(t.unix_microseconds()) / (seconds_per_day * 1e6) + 2440587.5; }

// Espenak & Meeus 2006, Five Millennium Canon of Solar Eclipses (NASA/TP-2006-214141), polynomials for delta T; coefficients from memory.
double delta_t(double year) {
  const auto since = [year](double epoch) { return year - epoch; };
  const double far = since(1820.0) / 100.0;
  if (year < 500.0) return polynomial<7>({10583.6, -1014.41, 33.78311, -5.952053, -0.1798452, 0.022174192, 0.0090316521}, year / 100.0);
  if (year < 1600.0)
    return polynomial<7>({1574.2, -556.01, 71.23472, 0.319781, -0.8503463, -0.005050998, 0.0083572073}, since(1000.0) / 100.0);
  if (year < 1700.0) return polynomial<4>({120.0, -0.9808, -0.01532, 1.0 / 7129.0}, since(1600.0));
  if (year < 1800.0) return polynomial<5>({8.83, 0.1603, -0.0059285, 0.00013336, -1.0 / 1174000.0}, since(1700.0));
  if (year < 1860.0)
    return polynomial<8>({13.72, -0.332447, 0.0068612, 0.0041116, -0.00037436, 0.0000121272, -0.0000001699, 0.000000000875}, since(1800.0));
  if (year < 1900.0) return polynomial<6>({7.62, 0.5737, -0.251754, 0.01680668, -0.0004473624, 1.0 / 233174.0}, since(1860.0));
  if (year < 1920.0) return polynomial<5>({-2.79, 1.494119, -0.0598939, 0.0061966, -0.000197}, since(1900.0));
  if (year < 1941.0) return polynomial<4>({21.20, 0.84493, -0.0761, 0.0020936}, since(1920.0));
  if (year < 1961.0) return polynomial<4>({29.07, 0.407, -1.0 / 233.0, 1.0 / 2547.0}, since(1950.0));
  if (year < 1986.0) return polynomial<4>({45.45, 1.067, -1.0 / 260.0, -1.0 / 718.0}, since(1975.0));
  if (year < 2005.0) return polynomial<6>({63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599}, since(2000.0));
  if (year < 2050.0) return polynomial<3>({62.92, 0.32217, 0.005589}, since(2000.0));
  const double parabola = -20.0 + 32.0 * far * far;
  return year < 2150.0 ? parabola - 0.5628 * (2150.0 - year) : parabola;
}

double decimal_year(double jd) { return 2000.0 + (jd - 2451544.5) / 365.2425; }

struct Nutation {
  double longitude, obliquity;  // degrees
};

// 3.4
Nutation nutation(double century) {
  const double t = century;
  const std::array<double, 5> arguments{polynomial<4>({297.85036, 445267.11148, -0.0019142, 1.0 / 189474.0}, t),
                                        polynomial<4>({357.52772, 35999.05034, -0.0001603, -1.0 / 300000.0}, t),
                                        polynomial<4>({134.96298, 477198.867398, 0.0086972, 1.0 / 56250.0}, t),
                                        polynomial<4>({93.27191, 483202.017538, -0.0036825, 1.0 / 327270.0}, t),
                                        polynomial<4>({125.04452, -1934.136261, 0.0020708, 1.0 / 450000.0}, t)};
  Nutation sum{0.0, 0.0};
  for (const auto& term : sun_terms::nutation) {
    double angle = 0.0;
    for (std::size_t i = 0; i < arguments.size(); ++i) angle += term.multiple[i] * arguments[i];
    const double radians = within(angle, 360.0) * degree;
    sum.longitude += (term.a + term.b * t) * num::sin(radians);
    sum.obliquity += (term.c + term.d * t) * num::cos(radians);
  }
  return {sum.longitude / 36'000'000.0, sum.obliquity / 36'000'000.0};
}

}  // namespace

// 3.1–3.11: everything that doesn't depend on the observer.
GeocentricSun geocentric_sun(Instant when, double delta_t_seconds) {
  namespace terms = sun_terms;
  const double jd = julian_day(when);
  const double jde = jd + delta_t_seconds / seconds_per_day;
  const double century = (jde - 2451545.0) / 36525.0;
  const double t = century / 10.0;
  const double longitude = polynomial<6>({sum_of(terms::longitude_0, t), sum_of(terms::longitude_1, t), sum_of(terms::longitude_2, t),
                                          sum_of(terms::longitude_3, t), sum_of(terms::longitude_4, t), sum_of(terms::longitude_5, t)},
                                         t);
  const double latitude = polynomial<2>({sum_of(terms::latitude_0, t), sum_of(terms::latitude_1, t)}, t);
  const double radius = polynomial<5>({sum_of(terms::radius_0, t), sum_of(terms::radius_1, t), sum_of(terms::radius_2, t),
                                       sum_of(terms::radius_3, t), sum_of(terms::radius_4, t)},
                                      t) *
                        1e-8;
  const double heliocentric_longitude = within(longitude * 1e-8 / degree, 360.0);
  const double beta = -latitude * 1e-8 / degree;
  const Nutation wobble = nutation(century);
  const double mean_obliquity =
      polynomial<11>({84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45}, t / 10.0) / 3600.0;
  const double epsilon = mean_obliquity + wobble.obliquity;
  const double aberration = -20.4898 / (3600.0 * radius);
  const double lambda = within(heliocentric_longitude + 180.0 + wobble.longitude + aberration, 360.0);
  const double universal_century = (jd - 2451545.0) / 36525.0;
  const double mean_sidereal = 280.46061837 + 360.98564736629 * (jd - 2451545.0) +
                               universal_century * universal_century * (0.000387933 - universal_century / 38'710'000.0);
  const double equinoxes = wobble.longitude * cosd(epsilon);
  const double right_ascension =
      within(num::atan2(sind(lambda) * cosd(epsilon) - tand(beta) * sind(epsilon), cosd(lambda)) / degree, 360.0);
  const double declination = num::asin(sind(beta) * cosd(epsilon) + cosd(beta) * sind(epsilon) * sind(lambda)) / degree;
  // A.1
  const double mean_longitude =
      polynomial<6>({280.4664567, 360007.6982779, 0.03032028, 1.0 / 49931.0, -1.0 / 15300.0, -1.0 / 2'000'000.0}, t);
  return {.heliocentric_longitude = Angle::degrees(heliocentric_longitude),
          .heliocentric_latitude = Angle::degrees(-beta),
          .radius_au = radius,
          .nutation_longitude = Angle::degrees(wobble.longitude),
          .nutation_obliquity = Angle::degrees(wobble.obliquity),
          .obliquity = Angle::degrees(epsilon),
          .apparent_longitude = Angle::degrees(lambda),
          .sidereal_time = Angle::degrees(within(mean_sidereal + equinoxes, 360.0)),
          .right_ascension = Angle::degrees(right_ascension),
          .declination = Angle::degrees(declination),
          .equation_of_time_minutes = 4.0 * signed_degrees(mean_longitude - 0.0057183 - right_ascension + equinoxes)};
}

// 3.12–3.16
SunPosition sun_position(Instant when, const Site& site, const Air& air, std::optional<double> delta_t_seconds) {
  const double jd = julian_day(when);
  const GeocentricSun sun = geocentric_sun(when, delta_t_seconds.value_or(delta_t(decimal_year(jd))));
  const double latitude = site.latitude.degrees();
  const double height = site.elevation.metres() / 6'378'140.0;
  const double hour_angle = within(sun.sidereal_time.degrees() + site.longitude.degrees() - sun.right_ascension.degrees(), 360.0);
  const double declination_geocentric = sun.declination.degrees();
  const double parallax = 8.794 / (3600.0 * sun.radius_au);
  constexpr double flattening = 0.99664719;
  // atan(0.99664719 tan φ) without its pole.
  const double u = num::atan2(flattening * sind(latitude), cosd(latitude));
  const double x = num::cos(u) + height * cosd(latitude);
  const double y = flattening * num::sin(u) + height * sind(latitude);
  const double across = cosd(declination_geocentric) - x * sind(parallax) * cosd(hour_angle);
  const double shift = num::atan2(-x * sind(parallax) * sind(hour_angle), across);
  const double declination = num::atan2((sind(declination_geocentric) - y * sind(parallax)) * num::cos(shift), across);
  const double h = hour_angle * degree - shift;
  const double sine = sind(latitude) * num::sin(declination) + cosd(latitude) * num::cos(declination) * num::cos(h);
  const double elevation = num::asin(std::clamp(sine, -1.0, 1.0)) / degree;
  double refraction = 0.0;
  if (elevation >= -(sun_radius + horizon_refraction))
    refraction = air.pressure.hectopascals() / 1010.0 * 283.0 / (273.0 + air.temperature.celsius()) * 1.02 /
                 (60.0 * tand(elevation + 10.3 / (elevation + 5.11)));
  const double from_south = num::atan2(num::sin(h) * num::cos(declination),
                                       num::cos(h) * sind(latitude) * num::cos(declination) - num::sin(declination) * cosd(latitude)) /
                            degree;
  return {.zenith = Angle::degrees(90.0 - elevation - refraction),
          .azimuth = Angle::degrees(within(from_south + 180.0, 360.0)),
          .declination = sun.declination,
          .equation_of_time_minutes = sun.equation_of_time_minutes};
}

namespace {

// Right ascension and declination between three successive midnights (A.2.10).
struct ThreeDays {
  std::array<double, 3> values;
  double at(double n) const {
    double a = values[1] - values[0];
    double b = values[2] - values[1];
    if (std::abs(a) > 180.0) a = signed_degrees(a);
    if (std::abs(b) > 180.0) b = signed_degrees(b);
    return values[1] + n * (a + b + (b - a) * n) / 2.0;
  }
};

enum class Event { rise, transit, set };

// The sun around one UTC day: A.2 with its correction repeated until it settles, which matters only where the sun grazes the horizon.
class UtcDay {
 public:
  UtcDay(Date day, const Site& site, double delta_t_seconds) : site_{site}, shift_{delta_t_seconds / seconds_per_day} {
    midnight_ = Instant::from_unix_microseconds(std::int64_t{day.serial()} * 86'400'000'000);
    for (std::size_t i = 0; i < 3; ++i) {
      const GeocentricSun sun = geocentric_sun(midnight_ + Duration::hours(24 * static_cast<std::int64_t>(i)) - Duration::hours(24), 0.0);
      ascension_.values[i] = sun.right_ascension.degrees();
      declination_.values[i] = sun.declination.degrees();
    }
    sidereal_ = geocentric_sun(midnight_, delta_t_seconds).sidereal_time.degrees();
    transit_ = within((ascension_.values[1] - site.longitude.degrees() - sidereal_) / 360.0, 1.0);
  }

  // Half the day's arc as a share of a day; nothing where the sun stays up or down. `up` tells which.
  std::optional<double> half_arc(bool& up) const {
    const double phi = site_.latitude.degrees();
    const double delta = declination_.at(transit_);
    const double divisor = cosd(phi) * cosd(delta);
    const double cosine = (sind(rise_elevation) - sind(phi) * sind(delta)) / divisor;
    up = cosine < -1.0;
    if (!(std::abs(cosine) <= 1.0)) return std::nullopt;
    return num::acos(cosine) / degree / 360.0;
  }

  // The events in or beside this day: one, or two when one falls close to midnight, where the next day's drift may carry it across.
  std::vector<Instant> events(Event which) const {
    double m = transit_;
    if (which != Event::transit) {
      bool up = false;
      const auto arc = half_arc(up);
      if (!arc) return {};
      m = within(which == Event::rise ? transit_ - *arc : transit_ + *arc, 1.0);
    }
    std::vector<Instant> found;
    const auto add = [&](double start) {
      if (const auto t = settle(which, start)) found.push_back(*t);
    };
    add(m);
    if (m < near_midnight) add(m + 1.0);
    if (m > 1.0 - near_midnight) add(m - 1.0);
    return found;
  }

 private:
  static constexpr double near_midnight = 0.02;

  std::optional<Instant> settle(Event which, double m) const {
    for (int pass = 0; pass < 8; ++pass) {
      const double correction = step(which, m);
      m += correction;
      if (std::abs(correction) < 1e-9) break;
    }
    if (!(std::abs(m) < 3.0)) return std::nullopt;
    return midnight_ + Duration{static_cast<std::int64_t>(std::floor(m * seconds_per_day * 1e6 + 0.5))};
  }

  double step(Event which, double m) const {
    const double phi = site_.latitude.degrees();
    const double n = m + shift_;
    const double delta = declination_.at(n);
    const double h = signed_degrees(sidereal_ + sidereal_degrees_per_day * m + site_.longitude.degrees() - ascension_.at(n));
    if (which == Event::transit) return -h / 360.0;
    const double elevation = num::asin(sind(phi) * sind(delta) + cosd(phi) * cosd(delta) * cosd(h)) / degree;
    return (elevation - rise_elevation) / (360.0 * cosd(delta) * cosd(phi) * sind(h));
  }

  Site site_;
  double shift_;
  Instant midnight_;
  double sidereal_ = 0.0;
  double transit_ = 0.0;
  ThreeDays ascension_{};
  ThreeDays declination_{};
};

}  // namespace

SunDay sun_day(Date day, const Site& site, std::int32_t offset_seconds, std::optional<double> delta_t_seconds) {
  const Instant begin = Instant::from_unix_microseconds((std::int64_t{day.serial()} * 86'400 - offset_seconds) * 1'000'000);
  const Instant end = begin + Duration::hours(24);
  const double shift = delta_t_seconds.value_or(delta_t(decimal_year(julian_day(begin))));
  std::array<UtcDay, 3> around{UtcDay{day - Days{1}, site, shift}, UtcDay{day, site, shift}, UtcDay{day + Days{1}, site, shift}};
  const auto inside = [&](Event which) -> std::optional<Instant> {
    for (const UtcDay& utc : around)
      for (const Instant t : utc.events(which))
        if (t >= begin && t < end) return t;
    return std::nullopt;
  };
  SunDay result;
  // A transit comes every 24 h ± 30 s; a civil day that just misses one takes the one nearest to its noon.
  result.transit = inside(Event::transit).value_or(around[1].events(Event::transit).front());
  result.rise = inside(Event::rise);
  result.set = inside(Event::set);
  bool up = false;
  const auto arc = around[1].half_arc(up);
  if (result.rise && result.set && *result.rise < *result.set)
    result.day_length_hours = (*result.set - *result.rise).in_hours();
  else
    result.day_length_hours = arc ? *arc * 48.0 : (up ? 24.0 : 0.0);
  return result;
}

double day_length_hours(Angle latitude, int day_of_year, Angle depression) {
  const double revolution = 0.2163108 + 2.0 * num::atan(0.9671396 * num::tan(0.00860 * (day_of_year - 186)));
  const double declination = num::asin(0.39795 * num::cos(revolution));
  const double cosine =
      (sind(depression.degrees()) + sind(latitude.degrees()) * num::sin(declination)) / (cosd(latitude.degrees()) * num::cos(declination));
  return 24.0 - 24.0 / num::pi * num::acos(std::clamp(cosine, -1.0, 1.0));
}

}  // namespace leafturn::weather
