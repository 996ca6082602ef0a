#include "core/spray/hours.hpp"

#include <algorithm>
#include <cmath>

#include "core/weather/evaporation.hpp"
#include "core/weather/humidity.hpp"

namespace leafturn::spray {
namespace {

using pest::Known;
using weather::HourlyReading;

constexpr double delta_t_least = 2.0, delta_t_best = 8.0, delta_t_most = 10.0;
constexpr double wet_leaf_humidity = 0.90;
constexpr int wet_after_rain_hours = 2;
constexpr Angle high_sun = Angle::degrees(45.0);
constexpr double cloudy = 0.5;         // half the sky
constexpr double clear_sky = 3.0 / 8;  // Pasquill: at most three eighths of cloud
constexpr Speed layered = Speed::metres_per_second(3.0), steady = Speed::metres_per_second(5.0);
constexpr Temperature bees_fly = Temperature::celsius(12.8);
constexpr double dry_week_mm = 25.0;

constexpr const char* no_source = "common practice, no source";
constexpr const char* pasquill = "Pasquill 1961; Turner 1970";
constexpr const char* drying = "Delta-T guidance of spray educators and the Bureau of Meteorology";

/// The limits of one hour, one function each.
class Hour {
 public:
  Hour(const weather::HourlyReadings& told, Instant at, const SkyHour& sky, const SprayLimits& limits, const Around& around)
      : told_{told}, at_{at}, sky_{sky}, limits_{limits}, around_{around} {
    if (const HourlyReading* found = told.find(at)) now_ = *found;
  }

  std::vector<LimitFound> all() {
    out_.reserve(12);
    wind();
    temperature();
    humidity();
    delta_t();
    leaf_wet();
    rain();
    sun();
    inversion();
    bees();
    flowers();
    drought();
    return std::move(out_);
  }

 private:
  void add(Limit limit, LimitState state, const char* code, std::optional<FactValue> value, std::optional<FactValue> bound, Known known,
           const char* source) {
    out_.push_back({limit, state, code, std::move(value), std::move(bound), false, known, source});
  }
  template <class Q>
  void add(Limit limit, LimitState state, const char* code, std::optional<FactValue> value, FactValue shown, const Bound<Q>& bound) {
    out_.push_back({limit, state, code, std::move(value), std::move(shown), bound.label, bound.known, bound.source});
  }
  // Past a label's bound it may not be; past advice one is warned.
  template <class Q>
  static LimitState beyond(const Bound<Q>& bound) {
    return bound.label ? LimitState::stop : LimitState::warn;
  }
  bool gentle() const { return limits_.works == Works::oil || limits_.works == Works::soap; }

  std::optional<Speed> at_nozzle(std::optional<Speed> wind) const {
    if (!wind) return std::nullopt;
    return weather::fao_wind_at(*wind, around_.wind_height, around_.nozzle_height);
  }

  void wind() {
    const auto speed = at_nozzle(now_.wind);
    const auto& least = limits_.wind_least;
    const auto& most = limits_.wind_most;
    if (!speed) {
      add(Limit::wind_least, LimitState::unknown, "spray_hours.wind_unknown", {}, least.value, least);
      add(Limit::wind_most, LimitState::unknown, "spray_hours.wind_unknown", {}, most.value, most);
    } else {
      // Calm is where drift hangs; strong is where it flies: both keep the sprayer in the shed whoever says so.
      const bool calm = *speed < least.value;
      const bool strong = *speed > most.value;
      add(Limit::wind_least, calm ? LimitState::stop : LimitState::pass, calm ? "spray_hours.calm" : "spray_hours.wind_enough", *speed,
          least.value, least);
      add(Limit::wind_most, strong ? LimitState::stop : LimitState::pass, strong ? "spray_hours.strong" : "spray_hours.wind_light", *speed,
          most.value, most);
    }
    if (const auto gust = at_nozzle(now_.gust)) {
      const bool strong = *gust > most.value;
      add(Limit::gust, strong ? LimitState::warn : LimitState::pass, strong ? "spray_hours.gusts" : "spray_hours.no_gusts", *gust,
          most.value, most);
    }
  }

  void temperature() {
    const auto& t = now_.temperature;
    if (limits_.temperature_least) {
      const auto& least = *limits_.temperature_least;
      if (!t)
        add(Limit::temperature_least, LimitState::unknown, "spray_hours.temperature_unknown", {}, least.value, least);
      else
        add(Limit::temperature_least, *t < least.value ? beyond(least) : LimitState::pass,
            *t < least.value ? "spray_hours.cold" : "spray_hours.warm_enough", *t, least.value, least);
    }
    const auto& most = limits_.temperature_most;
    if (!t)
      add(Limit::temperature_most, LimitState::unknown, "spray_hours.temperature_unknown", {}, most.value, most);
    else
      add(Limit::temperature_most, *t > most.value ? beyond(most) : LimitState::pass,
          *t > most.value ? "spray_hours.hot" : "spray_hours.cool_enough", *t, most.value, most);
  }

  void humidity() {
    if (!limits_.humidity_least) return;
    const auto& least = *limits_.humidity_least;
    const Share bound{least.value};
    if (!now_.humidity)
      add(Limit::humidity_least, LimitState::unknown, "spray_hours.humidity_unknown", {}, bound, least);
    else
      add(Limit::humidity_least, *now_.humidity < least.value ? beyond(least) : LimitState::pass,
          *now_.humidity < least.value ? "spray_hours.dry_air" : "spray_hours.humid_enough", Share{*now_.humidity}, bound, least);
  }

  void delta_t() {
    if (!now_.temperature || !now_.humidity || *now_.humidity <= 0.0)
      return add(Limit::delta_t, LimitState::unknown, "spray_hours.delta_t_unknown", {}, Number{delta_t_best, 0}, Known::seen, drying);
    const double d = weather::delta_t(*now_.temperature, *now_.humidity).kelvin();
    const Number value{d, 1};
    if (d > delta_t_most)
      add(Limit::delta_t, LimitState::stop, "spray_hours.dries_at_once", value, Number{delta_t_most, 0}, Known::seen, drying);
    else if (d > delta_t_best)
      add(Limit::delta_t, LimitState::warn, "spray_hours.dries_fast", value, Number{delta_t_best, 0}, Known::seen, drying);
    else if (d < delta_t_least)
      add(Limit::delta_t, LimitState::warn, gentle() ? "spray_hours.dries_slowly_burns" : "spray_hours.dries_slowly", value,
          Number{delta_t_least, 0}, Known::seen, drying);
    else
      add(Limit::delta_t, LimitState::pass, "spray_hours.dries_well", value, Number{delta_t_best, 0}, Known::seen, drying);
  }

  static bool rains(const HourlyReading& r) { return r.rain && r.rain->millimetres() >= least_rain_mm; }

  void leaf_wet() {
    constexpr const char* sentelhas = "Sentelhas et al. 2008, Agric. For. Meteorol. 148:392";
    const FactValue bound = Share{wet_leaf_humidity};
    std::optional<FactValue> value;
    if (now_.humidity) value = Share{*now_.humidity};
    for (int back = 1; back <= wet_after_rain_hours; ++back) {
      const HourlyReading* before = told_.find(at_ + Duration::hours(-back));
      if (before != nullptr && rains(*before))
        return add(Limit::leaf_wet, LimitState::warn, "spray_hours.wet_from_rain", value, bound, Known::practice, no_source);
    }
    if (!now_.humidity)
      return add(Limit::leaf_wet, LimitState::unknown, "spray_hours.humidity_unknown", {}, bound, Known::memory, sentelhas);
    const bool wet = *now_.humidity >= wet_leaf_humidity;
    add(Limit::leaf_wet, wet ? LimitState::warn : LimitState::pass, wet ? "spray_hours.dew" : "spray_hours.leaves_dry", value, bound,
        Known::memory, sentelhas);
  }

  void rain() {
    const auto& fast = limits_.rainfast_hours;
    const FactValue bound = Number{fast.value, 0};
    if (rains(now_)) return add(Limit::rain, LimitState::stop, "spray_hours.raining", Number{0.0, 0}, bound, fast);
    bool known = now_.rain.has_value();
    const int hours = static_cast<int>(std::ceil(fast.value));
    for (int ahead = 1; ahead <= hours; ++ahead) {
      const HourlyReading* later = told_.find(at_ + Duration::hours(ahead));
      if (later == nullptr || !later->rain) {
        known = false;
        continue;
      }
      if (rains(*later)) return add(Limit::rain, beyond(fast), "spray_hours.rain_soon", Number{static_cast<double>(ahead), 0}, bound, fast);
    }
    if (!known) return add(Limit::rain, LimitState::unknown, "spray_hours.rain_unknown", {}, bound, fast);
    add(Limit::rain, LimitState::pass, "spray_hours.no_rain", {}, bound, fast);
  }

  void sun() {
    if (!gentle()) return;
    const bool high = sky_.sun > high_sun;
    const bool bright = high && now_.cloud.value_or(0.0) < cloudy;
    add(Limit::sun, bright ? LimitState::warn : LimitState::pass, bright ? "spray_hours.full_sun" : "spray_hours.no_full_sun",
        Number{sky_.sun.degrees(), 0}, Number{high_sun.degrees(), 0}, Known::practice, no_source);
  }

  void inversion() {
    const auto say = [&](LimitState state, const char* code, std::optional<FactValue> value, Speed bound) {
      out_.push_back({Limit::inversion, state, code, std::move(value), bound, limits_.inversion_ban, Known::memory, pasquill});
    };
    if (!sky_.cooling) return say(LimitState::pass, "spray_hours.air_mixes", {}, steady);
    if (!now_.wind) return say(LimitState::unknown, "spray_hours.wind_unknown", {}, steady);
    // The classes are of wind at 10 m.
    const Speed wind = weather::fao_wind_at(*now_.wind, around_.wind_height, Length::metres(10.0));
    const bool clear = now_.cloud.value_or(0.0) <= clear_sky;
    if (wind < layered && clear) return say(LimitState::stop, "spray_hours.inversion", wind, layered);
    if (wind < (clear ? steady : layered))
      return say(limits_.inversion_ban ? LimitState::stop : LimitState::warn, "spray_hours.inversion_may", wind, clear ? steady : layered);
    say(LimitState::pass, "spray_hours.air_mixes", wind, steady);
  }

  void bees() {
    const bool label = limits_.bees != BeeLine::not_copied;
    const auto say = [&](LimitState state, const char* code) {
      std::optional<FactValue> value;
      if (now_.temperature) value = *now_.temperature;
      out_.push_back({Limit::bees, state, code, std::move(value), bees_fly, label, Known::memory, "general works on honey bees"});
    };
    if (around_.in_flower == false) return say(LimitState::pass, "spray_hours.no_flowers");
    if (limits_.bees == BeeLine::none_stated) return say(LimitState::pass, "spray_hours.bees_none_stated");
    if (limits_.bees == BeeLine::not_on_open_flowers)
      return around_.in_flower ? say(LimitState::stop, "spray_hours.bees_open_flowers")
                               : say(LimitState::unknown, "spray_hours.bees_ask_flowers");
    if (sky_.daylight && !now_.temperature) return say(LimitState::unknown, "spray_hours.temperature_unknown");
    const bool foraging = sky_.daylight && *now_.temperature > bees_fly;
    if (limits_.bees == BeeLine::not_copied)
      return foraging ? say(LimitState::unknown, "spray_hours.bees_not_copied_day")
                      : say(LimitState::warn, "spray_hours.bees_not_copied_night");
    if (foraging) return say(LimitState::stop, "spray_hours.bees_forage");
    say(LimitState::pass, "spray_hours.bees_home");
  }

  void flowers() {
    if (!around_.cucurbit) return;
    const bool open = sky_.squash_flowers && around_.in_flower != false;
    add(Limit::flowers, open ? LimitState::stop : LimitState::pass, open ? "spray_hours.squash_open" : "spray_hours.squash_shut", {}, {},
        Known::memory, "general works on squash bees");
  }

  void drought() {
    if (!gentle()) return;
    constexpr const char* colorado = "copy of Colorado State fact sheet 5.569";
    const FactValue bound = Length::millimetres(dry_week_mm);
    std::optional<FactValue> value;
    if (around_.water_short) value = *around_.water_short;
    if (around_.drought) {
      const bool dry = *around_.drought;
      return add(Limit::drought, dry ? LimitState::stop : LimitState::pass, dry ? "spray_hours.wilted" : "spray_hours.not_wilted", value,
                 {}, Known::seen, colorado);
    }
    if (around_.water_short && around_.water_short->millimetres() > dry_week_mm)
      add(Limit::drought, LimitState::warn, "spray_hours.dry_week", value, bound, Known::seen, colorado);
  }

  const weather::HourlyReadings& told_;
  Instant at_;
  const SkyHour& sky_;
  const SprayLimits& limits_;
  const Around& around_;
  HourlyReading now_;
  std::vector<LimitFound> out_;
};

}  // namespace

std::string_view word_for(Limit limit) {
  constexpr std::string_view words[] = {
      "wind_least", "wind_most", "gust", "temperature_least", "temperature_most", "humidity_least", "delta_t", "leaf_wet", "rain",
      "sun",        "inversion", "bees", "flowers",           "drought",          "people"};
  return words[static_cast<std::size_t>(limit)];
}

std::string_view word_for(LimitState state) {
  constexpr std::string_view words[] = {"pass", "warn", "stop", "unknown"};
  return words[static_cast<std::size_t>(state)];
}

std::string_view word_for(HourState state) {
  constexpr std::string_view words[] = {"open", "care", "shut", "unknown"};
  return words[static_cast<std::size_t>(state)];
}

Reason reason_of(const LimitFound& found) {
  Reason reason{found.code, {}};
  if (found.value) reason.facts.push_back({"value", *found.value});
  if (found.bound) reason.facts.push_back({"bound", *found.bound});
  reason.facts.push_back({"by", Term{found.label ? "spray_hours.by.label" : "spray_hours.by.usual"}});
  return reason;
}

HourState state_of(std::span<const LimitFound> limits) {
  const auto any = [&](LimitState state) {
    return std::any_of(limits.begin(), limits.end(), [&](const LimitFound& f) { return f.state == state; });
  };
  if (any(LimitState::stop)) return HourState::shut;
  if (limits.empty() || any(LimitState::unknown)) return HourState::unknown;
  return any(LimitState::warn) ? HourState::care : HourState::open;
}

HourFound hour_found(const weather::HourlyReadings& told, Instant hour, const SkyHour& sky, const SprayLimits& limits,
                     const Around& around) {
  HourFound out;
  out.at = hour;
  out.limits = Hour{told, hour, sky, limits, around}.all();
  out.state = state_of(out.limits);
  return out;
}

}  // namespace leafturn::spray
