#pragma once
/// One hour held against everything that speaks for or against spraying in it. What isn't known is unknown, and unknown is never open.

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/spray/limits.hpp"
#include "core/spray/sky.hpp"
#include "core/weather/readings.hpp"

namespace leafturn::spray {

enum class Limit {
  wind_least,
  wind_most,
  gust,
  temperature_least,
  temperature_most,
  humidity_least,
  delta_t,
  leaf_wet,
  rain,
  sun,
  inversion,
  bees,
  flowers,
  drought,
  people  ///< only at the bed (start.hpp)
};
std::string_view word_for(Limit limit);

/// `pass`: nothing against it. `warn`: advice against it. `stop`: not then; by the label, or because it drifts or washes off at once.
enum class LimitState { pass, warn, stop, unknown };
std::string_view word_for(LimitState state);

/// One limit in one hour. `value` and `bound` are what was compared: a Speed at the nozzle, a Temperature, a Share, or a Number (kelvin for
/// delta_t, hours for rain, degrees for sun).
struct LimitFound {
  Limit limit = Limit::wind_least;
  LimitState state = LimitState::unknown;
  const char* code = "";  ///< of the catalogue: `spray_hours.…`
  std::optional<FactValue> value, bound;
  bool label = false;       ///< the bound is the label's
  pest::Known known{};      ///< how a default is known
  const char* source = "";  ///< of a default
};
/// With the facts `value` and `bound`, and `by`, whose bound it is.
Reason reason_of(const LimitFound& found);

/// What only a person there knows. Absent = not told.
struct Around {
  std::optional<bool> in_flower;              ///< crop, weeds or cover in or beside the bed
  std::optional<bool> drought;                ///< wilted, or stressed by dry soil
  bool cucurbit = false;                      ///< a squash, cucumber, melon or gourd stands there
  Length wind_height = Length::metres(10.0);  ///< where the wind was measured or forecast; 10 m is the standard of stations
  Length nozzle_height = Length::metres(1.0);
  std::optional<Length> water_short;  ///< by which the air took more than the rain gave in the last week, nothing watered
};

enum class HourState { open, care, shut, unknown };
std::string_view word_for(HourState state);

struct HourFound {
  Instant at;
  HourState state = HourState::unknown;  ///< open: every limit passes; care: some warn; shut: one stops; unknown: one isn't known
  std::vector<LimitFound> limits;
};

/// Below this nothing was measured: 0.2 mm (the least that WMO's guide asks a gauge to tell, from memory).
inline constexpr double least_rain_mm = 0.2;

/// Every limit that applies to this product, in the order of `Limit`.
///
/// - Wind is brought from `wind_height` to `nozzle_height` by the log profile over grass (FAO-56 eq. 47).
/// - Delta-T 2 … 8 K is best and above 10 K is too dry (seen S77, S78); by the psychrometer of core/weather/humidity.
/// - Leaves count as wet at 90 % humidity or more (Sentelhas et al. 2008, Agric. For. Meteorol. 148:392, from memory) and for two hours
/// after
///   rain (common practice, no source).
/// - Sun: for oil and soap above 45° without half the sky in cloud (common practice, no source).
/// - Inversion: Pasquill's classes at night (1961; Turner 1970; from memory) by wind at 10 m and cloud. Under 3 m/s beneath a clear sky the
///   air lies in layers (F): stop. Under 5 m/s beneath a clear sky, or under 3 m/s beneath cloud (E): warn. Cloud that isn't told is none.
/// - Bees fly by day above 12.8 °C (55 °F, from memory).
HourFound hour_found(const weather::HourlyReadings& told, Instant hour, const SkyHour& sky, const SprayLimits& limits,
                     const Around& around);

/// Open, care, shut or unknown, from the limits' states.
HourState state_of(std::span<const LimitFound> limits);

}  // namespace leafturn::spray
