#pragma once
/// Temperature of the soil at 5 cm, from air alone: what an egg, maggot or pupa near the surface feels.
///
/// A slow part and a daily wave:
///   slow:  S(t + 1 h) = S(t) + (1 − exp(−1/(24·5 d)))·(T(t) − S(t)), a first-order lag of 5 days, the mean age of the air in the
///          11-day mean by which Zheng, Hunt & Running 1993 (Climate Research 2:183–191) tell soil from air temperature;
///   wave:  0.65·(T(t − 1.6 h) − mean of that day), the damping exp(−z/d) and lag z/(d·ω) of heat conduction at z = 5 cm with a damping
///          depth d = 11.7 cm (diffusivity 0.5 mm²/s, moist mineral soil; Campbell & Norman 1998, Environmental Biophysics, ch. 8).
/// Both from memory, neither fitted here. Not known to it: snow, mulch, plastic, shade, irrigation. Expect errors of 2–3 °C, more in
/// winter.

#include "core/weather/diurnal.hpp"

namespace leafturn::weather {

/// One value for each hour of `air`; days missing there are missing here and leave the slow part as it was. The slow part starts at the
/// first day's mean, so the first ten days carry too little memory.
HourlySeries soil_at_5cm(const HourlySeries& air);

}  // namespace leafturn::weather
