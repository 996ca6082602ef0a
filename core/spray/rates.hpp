#pragma once
/// How much spray comes out and how far it goes. Flow, speed and width give volume per area (the identities behind GPA = 5940·GPM/(MPH·in)
/// and L/ha = 600·(L/min)/(km/h·m), in one unit, so no rounded constant is needed; spray-practice.md 4.1, seen S52, S53, S56); so does a
/// catch on a measured plot.

#include "core/base/quantity.hpp"

namespace leafturn::spray {

/// Volume per time, kept in litres a second.
class Flow : public Span<Flow> {
 public:
  constexpr Flow() = default;
  static constexpr Flow litres_per_second(double v) { return Flow{v}; }
  static constexpr Flow of(Volume volume, double seconds) { return Flow{volume.litres() / seconds}; }
  constexpr double litres_per_minute() const { return base_ * 60.0; }
  constexpr double gallons_per_minute() const { return base_ * 60.0 / 3.785411784; }
  constexpr Volume in(double seconds) const { return Volume::litres(base_ * seconds); }

 private:
  friend class Span<Flow>;
  using Span::Span;
};

/// Finished spray per area, kept in litres a square metre.
class SprayVolume : public Span<SprayVolume> {
 public:
  constexpr SprayVolume() = default;
  static constexpr SprayVolume of(Volume volume, Area area) { return SprayVolume{volume.litres() / area.square_metres()}; }
  static constexpr SprayVolume litres_per_square_metre(double v) { return SprayVolume{v}; }
  static constexpr SprayVolume litres_per_hectare(double v) { return SprayVolume{v * 1e-4}; }
  static constexpr SprayVolume gallons_per_acre(double v) { return SprayVolume{v * (3.785411784 / 4046.8564224)}; }
  constexpr double litres_per_square_metre() const { return base_; }
  constexpr double litres_per_hectare() const { return base_ * 1e4; }
  constexpr double gallons_per_acre() const { return base_ * (4046.8564224 / 3.785411784); }
  constexpr Volume on(Area area) const { return Volume::litres(base_ * area.square_metres()); }

 private:
  friend class Span<SprayVolume>;
  using Span::Span;
};

/// All nozzles together over the width they cover. Speed and width above 0.
constexpr SprayVolume applied(Flow flow, Speed speed, Length width) {
  return SprayVolume::litres_per_square_metre(flow.in(1.0).litres() / (speed.metres_per_second() * width.metres()));
}

/// Length to walk with this swath so that the ounces caught in the time it takes are gallons per acre: 1/128 acre.
constexpr Length course_of_128th_acre(Length swath) { return Length::metres(Area::acres(1.0 / 128.0).square_metres() / swath.metres()); }

/// What one filling covers.
constexpr Area covered(Volume finished, SprayVolume at) { return Area::square_metres(finished.litres() / at.litres_per_square_metre()); }

/// A nozzle is to be replaced when it gives more than 10 % more or less than its mates (spray-practice.md 4.2, seen S10).
inline constexpr double nozzle_tolerance = 0.10;

}  // namespace leafturn::spray
