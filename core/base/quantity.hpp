#pragma once
/// Quantities as types. A quantity is made only through a named factory and read only through a named reader, so a bare
/// number never crosses a header for something that has a unit. Points on a scale (`Temperature`) and spans between them
/// (`TemperatureSpan`) differ; sums that mean nothing do not compile (tests/must_not_compile).
///
/// Unit factors are the exact definitions of the international yard and pound agreement (1959) and of the US liquid
/// gallon (231 cubic inches): NIST Special Publication 811, appendix B (from memory; every factor is exact).

#include <compare>

namespace leafturn {

/// Arithmetic shared by every span-like quantity: sums, scaling, ratio, order. `Q` keeps its value in one base unit.
template <class Q>
class Span {
 public:
  friend constexpr Q operator+(Q a, Q b) { return Q{a.base_ + b.base_}; }
  friend constexpr Q operator-(Q a, Q b) { return Q{a.base_ - b.base_}; }
  friend constexpr Q operator-(Q a) { return Q{-a.base_}; }
  friend constexpr Q operator*(Q a, double k) { return Q{a.base_ * k}; }
  friend constexpr Q operator*(double k, Q a) { return Q{a.base_ * k}; }
  friend constexpr Q operator/(Q a, double k) { return Q{a.base_ / k}; }
  friend constexpr double operator/(Q a, Q b) { return a.base_ / b.base_; }
  friend constexpr auto operator<=>(Q a, Q b) { return a.base_ <=> b.base_; }
  friend constexpr bool operator==(Q a, Q b) { return !(a.base_ < b.base_) && !(b.base_ < a.base_); }
  constexpr Q& operator+=(Q b) {
    base_ += b.base_;
    return static_cast<Q&>(*this);
  }
  constexpr Q& operator-=(Q b) {
    base_ -= b.base_;
    return static_cast<Q&>(*this);
  }

 protected:
  constexpr Span() = default;
  constexpr explicit Span(double base) : base_{base} {}
  double base_ = 0.0;
};

/// Difference of two temperatures, kept in kelvin. 1 K = 1.8 Fahrenheit degrees.
class TemperatureSpan : public Span<TemperatureSpan> {
 public:
  constexpr TemperatureSpan() = default;
  static constexpr TemperatureSpan kelvin(double k) { return TemperatureSpan{k}; }
  static constexpr TemperatureSpan fahrenheit_degrees(double f) { return TemperatureSpan{f / 1.8}; }
  constexpr double kelvin() const { return base_; }
  constexpr double fahrenheit_degrees() const { return base_ * 1.8; }

 private:
  friend class Span<TemperatureSpan>;
  using Span::Span;
};

/// A point on the temperature scale, kept in degrees Celsius. Two of them have a difference, never a sum.
class Temperature {
 public:
  constexpr Temperature() = default;
  static constexpr Temperature celsius(double c) { return Temperature{c}; }
  static constexpr Temperature fahrenheit(double f) { return Temperature{(f - 32.0) / 1.8}; }
  constexpr double celsius() const { return c_; }
  constexpr double fahrenheit() const { return c_ * 1.8 + 32.0; }
  constexpr double kelvin() const { return c_ + 273.15; }
  friend constexpr TemperatureSpan operator-(Temperature a, Temperature b) { return TemperatureSpan::kelvin(a.c_ - b.c_); }
  friend constexpr Temperature operator+(Temperature t, TemperatureSpan d) { return Temperature{t.c_ + d.kelvin()}; }
  friend constexpr Temperature operator-(Temperature t, TemperatureSpan d) { return Temperature{t.c_ - d.kelvin()}; }
  friend constexpr auto operator<=>(Temperature a, Temperature b) { return a.c_ <=> b.c_; }
  friend constexpr bool operator==(Temperature a, Temperature b) { return !(a.c_ < b.c_) && !(b.c_ < a.c_); }

 private:
  constexpr explicit Temperature(double c) : c_{c} {}
  double c_ = 0.0;
};

/// The point halfway between two temperatures (a mean is a point, though a sum is not).
constexpr Temperature midpoint(Temperature a, Temperature b) { return a + (b - a) / 2.0; }

/// Heat above a threshold added over days, kept in Celsius degree-days. 1 C d = 1.8 F d.
class DegreeDays : public Span<DegreeDays> {
 public:
  constexpr DegreeDays() = default;
  static constexpr DegreeDays celsius_days(double v) { return DegreeDays{v}; }
  static constexpr DegreeDays fahrenheit_days(double v) { return DegreeDays{v * (1.0 / 1.8)}; }
  constexpr double celsius_days() const { return base_; }
  constexpr double fahrenheit_days() const { return base_ / (1.0 / 1.8); }

 private:
  friend class Span<DegreeDays>;
  using Span::Span;
};

/// A length or depth, kept in metres.
class Length : public Span<Length> {
 public:
  constexpr Length() = default;
  static constexpr Length metres(double v) { return Length{v}; }
  static constexpr Length millimetres(double v) { return Length{v * 1e-3}; }
  static constexpr Length centimetres(double v) { return Length{v * 1e-2}; }
  static constexpr Length kilometres(double v) { return Length{v * 1e3}; }
  static constexpr Length feet(double v) { return Length{v * 0.3048}; }
  static constexpr Length inches(double v) { return Length{v * 0.0254}; }
  static constexpr Length miles(double v) { return Length{v * 1609.344}; }
  constexpr double metres() const { return base_; }
  constexpr double millimetres() const { return base_ / 1e-3; }
  constexpr double centimetres() const { return base_ / 1e-2; }
  constexpr double kilometres() const { return base_ / 1e3; }
  constexpr double feet() const { return base_ / 0.3048; }
  constexpr double inches() const { return base_ / 0.0254; }
  constexpr double miles() const { return base_ / 1609.344; }

 private:
  friend class Span<Length>;
  using Span::Span;
};

/// An area, kept in square metres. 1 acre = 43,560 square feet.
class Area : public Span<Area> {
 public:
  constexpr Area() = default;
  static constexpr Area square_metres(double v) { return Area{v}; }
  static constexpr Area hectares(double v) { return Area{v * 1e4}; }
  static constexpr Area square_feet(double v) { return Area{v * 0.09290304}; }
  static constexpr Area acres(double v) { return Area{v * 4046.8564224}; }
  constexpr double square_metres() const { return base_; }
  constexpr double hectares() const { return base_ / 1e4; }
  constexpr double square_feet() const { return base_ / 0.09290304; }
  constexpr double acres() const { return base_ / 4046.8564224; }

 private:
  friend class Span<Area>;
  using Span::Span;
};

/// A volume of liquid, kept in litres. Gallon, quart, pint and fluid ounce are the US liquid measures.
class Volume : public Span<Volume> {
 public:
  constexpr Volume() = default;
  static constexpr Volume litres(double v) { return Volume{v}; }
  static constexpr Volume millilitres(double v) { return Volume{v * 1e-3}; }
  static constexpr Volume gallons(double v) { return Volume{v * 3.785411784}; }
  static constexpr Volume quarts(double v) { return Volume{v * 0.946352946}; }
  static constexpr Volume pints(double v) { return Volume{v * 0.473176473}; }
  static constexpr Volume fluid_ounces(double v) { return Volume{v * 0.0295735295625}; }
  static constexpr Volume tablespoons(double v) { return Volume{v * 0.01478676478125}; }
  static constexpr Volume teaspoons(double v) { return Volume{v * 0.00492892159375}; }
  constexpr double litres() const { return base_; }
  constexpr double millilitres() const { return base_ / 1e-3; }
  constexpr double gallons() const { return base_ / 3.785411784; }
  constexpr double quarts() const { return base_ / 0.946352946; }
  constexpr double pints() const { return base_ / 0.473176473; }
  constexpr double fluid_ounces() const { return base_ / 0.0295735295625; }
  constexpr double tablespoons() const { return base_ / 0.01478676478125; }
  constexpr double teaspoons() const { return base_ / 0.00492892159375; }

 private:
  friend class Span<Volume>;
  using Span::Span;
};

/// A mass, kept in grams.
class Mass : public Span<Mass> {
 public:
  constexpr Mass() = default;
  static constexpr Mass grams(double v) { return Mass{v}; }
  static constexpr Mass kilograms(double v) { return Mass{v * 1e3}; }
  static constexpr Mass pounds(double v) { return Mass{v * 453.59237}; }
  static constexpr Mass ounces(double v) { return Mass{v * 28.349523125}; }
  constexpr double grams() const { return base_; }
  constexpr double kilograms() const { return base_ / 1e3; }
  constexpr double pounds() const { return base_ / 453.59237; }
  constexpr double ounces() const { return base_ / 28.349523125; }

 private:
  friend class Span<Mass>;
  using Span::Span;
};

/// A speed, kept in metres per second.
class Speed : public Span<Speed> {
 public:
  constexpr Speed() = default;
  static constexpr Speed metres_per_second(double v) { return Speed{v}; }
  static constexpr Speed kilometres_per_hour(double v) { return Speed{v * (1.0 / 3.6)}; }
  static constexpr Speed miles_per_hour(double v) { return Speed{v * 0.44704}; }
  constexpr double metres_per_second() const { return base_; }
  constexpr double kilometres_per_hour() const { return base_ / (1.0 / 3.6); }
  constexpr double miles_per_hour() const { return base_ / 0.44704; }

 private:
  friend class Span<Speed>;
  using Span::Span;
};

/// A pressure, kept in hectopascals (millibars).
class Pressure : public Span<Pressure> {
 public:
  constexpr Pressure() = default;
  static constexpr Pressure hectopascals(double v) { return Pressure{v}; }
  static constexpr Pressure kilopascals(double v) { return Pressure{v * 10.0}; }
  static constexpr Pressure inches_of_mercury(double v) { return Pressure{v * 33.86389}; }
  constexpr double hectopascals() const { return base_; }
  constexpr double kilopascals() const { return base_ / 10.0; }
  constexpr double inches_of_mercury() const { return base_ / 33.86389; }

 private:
  friend class Span<Pressure>;
  using Span::Span;
};

/// An angle, kept in degrees.
class Angle : public Span<Angle> {
 public:
  constexpr Angle() = default;
  static constexpr Angle degrees(double v) { return Angle{v}; }
  static constexpr Angle radians(double v) { return Angle{v * 57.29577951308232}; }
  constexpr double degrees() const { return base_; }
  constexpr double radians() const { return base_ / 57.29577951308232; }

 private:
  friend class Span<Angle>;
  using Span::Span;
};

/// Length times length is an area; no other product of quantities is defined here.
constexpr Area operator*(Length a, Length b) { return Area::square_metres(a.metres() * b.metres()); }

}  // namespace leafturn
