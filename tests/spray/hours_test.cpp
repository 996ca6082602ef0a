// What speaks against spraying in an hour, held against the figures extension services print (spray-practice.md 5.1 and 9).
#include "core/spray/hours.hpp"

#include "core/weather/evaporation.hpp"
#include "core/weather/humidity.hpp"
#include "tests/spray/weather.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::spray {
namespace {

using namespace test_hours;
using test::check_row;
using test::From;
using weather::HourlyReading;

constexpr double pass = 0, warn = 1, stop = 2;  // LimitState as rows print it

test::Row seen(const char* id, const char* what, const char* source, double expected) {
  return {std::string("hours.") + id, what, source, "seen", From::published, expected, 0.0, "0 pass, 1 warn, 2 stop"};
}
double state(const LimitFound& found) { return static_cast<double>(found.state); }

TEST(SprayHours, delta_t_by_the_formula_of_stull) {
  const auto row = [](const char* id, double celsius, double humidity, double wet, double difference) {
    const Temperature t = Temperature::celsius(celsius);
    const double got = weather::wet_bulb_stull(t, humidity).celsius();
    const std::string what = std::to_string(static_cast<int>(celsius)) + " C, " + std::to_string(static_cast<int>(100 * humidity)) + " %";
    check_row({std::string("hours.stull.") + id, what + ", wet bulb",
               "Stull 2011, J. Appl. Meteorol. Climatol. 50:2267, by script (row 31-32)", "derived", From::independent, wet, 0.01, "C"},
              got);
    check_row({std::string("hours.delta_t.") + id, what + ", Delta-T", "Stull 2011, by script (row 31-32)", "derived", From::independent,
               difference, 0.01, "K"},
              celsius - got);
  };
  row("20-50", 20, 0.50, 13.70, 6.30);
  row("15-90", 15, 0.90, 13.84, 1.16);
  row("25-60", 25, 0.60, 19.50, 5.50);
  row("28-70", 28, 0.70, 23.73, 4.27);
  row("30-40", 30, 0.40, 20.45, 9.55);
  row("35-30", 35, 0.30, 22.14, 12.86);
}

TEST(SprayHours, delta_t_classes) {
  const SprayLimits limits = usual_limits(Works::contact);
  const auto row = [&](const char* id, double celsius, double humidity, double expected) {
    const auto found = noon(limits, Limit::delta_t, [&](HourlyReading& r) {
      r.temperature = Temperature::celsius(celsius);
      r.humidity = humidity;
    });
    check_row(seen(id, "class of Delta-T", "Delta-T guidance of spray educators (ideal 2-8, over 10 stop)", expected), state(found));
  };
  row("ideal-20-50", 20, 0.50, pass);
  row("low-15-90", 15, 0.90, warn);
  row("marginal-30-40", 30, 0.40, warn);
  row("stop-35-30", 35, 0.30, stop);
}

TEST(SprayHours, wind_gate) {
  const SprayLimits limits = usual_limits(Works::contact);
  const auto at_mph = [&](double mph, Limit limit) {
    return state(noon(limits, limit, [&](HourlyReading& r) { r.wind = Speed::miles_per_hour(mph); }));
  };
  const char* guide = "Pesticide Environmental Stewardship, weather: 3 to 8 mph";
  check_row(seen("wind-2", "2 mph: calm", guide, stop), at_mph(2, Limit::wind_least));
  check_row(seen("wind-5-least", "5 mph: enough", guide, pass), at_mph(5, Limit::wind_least));
  check_row(seen("wind-5-most", "5 mph: not too much", guide, pass), at_mph(5, Limit::wind_most));
  check_row(seen("wind-9", "9 mph: too much", guide, stop), at_mph(9, Limit::wind_most));
}

TEST(SprayHours, wind_is_brought_down_to_the_nozzle) {
  check_row({"hours.wind.profile", "3.2 m/s at 10 m, at 2 m", "FAO-56 eq. 47, example 14", "seen", From::published, 2.4, 0.05, "m/s"},
            weather::fao_wind_at(Speed::metres_per_second(3.2), Length::metres(10), Length::metres(2)).metres_per_second());
  Around mast = plain();
  mast.wind_height = Length::metres(10);
  // 4 mph on a mast is 2.5 mph at the nozzle: calm.
  const auto found =
      noon(usual_limits(Works::contact), Limit::wind_least, [](HourlyReading& r) { r.wind = Speed::miles_per_hour(4); }, mast);
  EXPECT_EQ(found.state, LimitState::stop);
  EXPECT_NEAR(std::get<Speed>(*found.value).miles_per_hour(), 4 * 4.1331 / 6.5111, 1e-3);
}

TEST(SprayHours, heat_and_cold) {
  const auto row = [](const char* id, Works works, double fahrenheit, Limit limit, double expected, const char* source) {
    const auto found = noon(usual_limits(works), limit, [&](HourlyReading& r) { r.temperature = Temperature::fahrenheit(fahrenheit); });
    check_row(seen(id, "temperature", source, expected), state(found));
  };
  const char* washington = "Washington State University Extension, horticultural spray oil damage";
  row("soap-86F", Works::soap, 86, Limit::temperature_most, warn, "Nebraska Extension column: not above 85 F");
  row("contact-86F", Works::contact, 86, Limit::temperature_most, warn, "Nebraska Extension column: not above 85 F");
  row("oil-48F", Works::oil, 48, Limit::temperature_least, warn, washington);
  row("oil-70F-least", Works::oil, 70, Limit::temperature_least, pass, washington);
  row("oil-70F-most", Works::oil, 70, Limit::temperature_most, pass, washington);
  row("oil-88F", Works::oil, 88, Limit::temperature_most, warn, washington);
}

TEST(SprayHours, a_label_s_bound_replaces_the_usual_one_and_stops) {
  label::Card card;
  card.conditions.temp_max = label::Stated<Temperature>::given(Temperature::celsius(29.0));
  card.conditions.wind_max = label::Stated<Speed>::given(Speed::miles_per_hour(10));
  card.conditions.rainfast_hours = label::Stated<double>::given(4);
  card.conditions.bees = label::Stated<label::Bees>::given(label::Bees::foraging);
  const SprayLimits limits = limits_of(card, {});
  const auto hot = noon(limits, Limit::temperature_most, [](HourlyReading& r) { r.temperature = Temperature::celsius(29.2); });
  EXPECT_EQ(hot.state, LimitState::stop);
  EXPECT_TRUE(hot.label);
  EXPECT_EQ(noon(limits, Limit::wind_most, [](HourlyReading& r) { r.wind = Speed::miles_per_hour(9); }).state, LimitState::pass);
  EXPECT_EQ(limits.rainfast_hours.value, 4.0);
  EXPECT_EQ(limits.bees, BeeLine::not_while_foraging);
}

TEST(SprayHours, rain_within_the_label_s_hours_stops_and_within_the_usual_day_warns) {
  const auto told = hours_from("2026-06-12T17:00Z", 30, [](HourlyReading& r, int h) {
    if (h == 3) r.rain = Length::millimetres(2);
  });
  SprayLimits limits = usual_limits(Works::contact);
  const auto sky = sky_of(at("2026-06-12T17:00Z"), 6, madison);
  const auto rain_at = [&](int h) {
    for (const auto& f :
         hour_found(told, at("2026-06-12T17:00Z") + Duration::hours(h), sky[static_cast<std::size_t>(h)], limits, plain()).limits)
      if (f.limit == Limit::rain) return f.state;
    return LimitState::unknown;
  };
  EXPECT_EQ(rain_at(0), LimitState::warn);
  EXPECT_EQ(rain_at(3), LimitState::stop);
  limits.rainfast_hours = {2.0, true, pest::Known::seen, ""};
  EXPECT_EQ(rain_at(0), LimitState::pass);
  EXPECT_EQ(rain_at(1), LimitState::stop);
}

TEST(SprayHours, what_is_not_told_is_unknown_and_never_open) {
  const SprayLimits limits = usual_limits(Works::contact);
  for (const int field : {0, 1, 2, 3}) {
    const auto told = hours_from("2026-06-12T17:00Z", 30, [&](HourlyReading& r, int h) {
      if (h != 0) return;
      if (field == 0) r.temperature.reset(), r.dew_point.reset();
      if (field == 1) r.humidity.reset();
      if (field == 2) r.wind.reset();
      if (field == 3) r.rain.reset();
    });
    const auto found = hour_found(told, at("2026-06-12T17:00Z"), sky_of(at("2026-06-12T17:00Z"), 1, madison).front(), limits, plain());
    EXPECT_EQ(found.state, HourState::unknown) << field;
  }
  // Nor an hour that nobody told of at all.
  const auto told = hours_from("2026-06-12T17:00Z", 2, [](HourlyReading&, int) {});
  const auto later = at("2026-06-13T17:00Z");
  EXPECT_EQ(hour_found(told, later, sky_of(later, 1, madison).front(), limits, plain()).state, HourState::unknown);
}

TEST(SprayHours, the_night_s_layers_hold_drift) {
  const SprayLimits limits = usual_limits(Works::contact);
  const auto found = [&](const char* when, double metres_per_second, double cloud) {
    const auto told = hours_from(when, 30, [&](HourlyReading& r, int) {
      r.wind = Speed::metres_per_second(metres_per_second);
      r.cloud = cloud;
    });
    Around mast = plain();
    mast.wind_height = Length::metres(10);
    for (const auto& f : hour_found(told, at(when), sky_of(at(when), 1, madison).front(), limits, mast).limits)
      if (f.limit == Limit::inversion) return f.state;
    return LimitState::unknown;
  };
  const auto row = [&](const char* id, const char* what, double expected, LimitState got) {
    check_row({std::string("hours.pasquill.") + id, what, "Pasquill's stability classes at night (Turner 1970)", "memory", From::memory,
               expected, 0.0, "0 pass, 1 warn, 2 stop"},
              static_cast<double>(got));
  };
  const char* const night = "2026-06-13T05:00Z";  // midnight by the sun
  row("f", "2 m/s under a clear sky: F", stop, found(night, 2.0, 0.1));
  row("e", "4 m/s under a clear sky: E", warn, found(night, 4.0, 0.1));
  row("e-cloud", "2 m/s under cloud: E", warn, found(night, 2.0, 0.9));
  row("d", "5.5 m/s: D", pass, found(night, 5.5, 0.1));
  row("day", "2 m/s at noon: no night", pass, found("2026-06-12T18:00Z", 2.0, 0.1));
  // Sunset 01:38, sunrise 10:18 UTC: layers from an hour before to an hour after.
  EXPECT_EQ(found("2026-06-13T00:30Z", 2.0, 0.1), LimitState::stop);
  EXPECT_EQ(found("2026-06-12T23:00Z", 2.0, 0.1), LimitState::pass);
  EXPECT_EQ(found("2026-06-13T11:00Z", 2.0, 0.1), LimitState::stop);
  EXPECT_EQ(found("2026-06-13T12:00Z", 2.0, 0.1), LimitState::pass);
}

TEST(SprayHours, bees_by_the_card_the_sun_and_the_warmth) {
  SprayLimits limits = usual_limits(Works::contact);
  Around around = plain();
  around.in_flower.reset();
  const auto bees = [&](double celsius) {
    return noon(limits, Limit::bees, [&](HourlyReading& r) { r.temperature = Temperature::celsius(celsius); }, around).state;
  };
  limits.bees = BeeLine::not_while_foraging;
  EXPECT_EQ(bees(20), LimitState::stop);
  EXPECT_EQ(bees(12), LimitState::pass);  // honey bees stay home below 12.8 °C (from memory)
  limits.bees = BeeLine::not_copied;
  EXPECT_EQ(bees(20), LimitState::unknown);
  EXPECT_EQ(bees(12), LimitState::warn);
  limits.bees = BeeLine::not_on_open_flowers;
  EXPECT_EQ(bees(12), LimitState::unknown);
  around.in_flower = true;
  EXPECT_EQ(bees(12), LimitState::stop);
  around.in_flower = false;
  EXPECT_EQ(bees(20), LimitState::pass);
}

TEST(SprayHours, squash_in_flower_keeps_the_morning_closed) {
  const SprayLimits limits = usual_limits(Works::contact);
  Around around = plain();
  around.cucurbit = true;
  around.in_flower = true;
  EXPECT_EQ(noon(limits, Limit::flowers, [](HourlyReading&) {}, around).state, LimitState::stop);
  const auto when = at("2026-06-12T20:00Z");
  const auto told = hours_from("2026-06-12T20:00Z", 30, [](HourlyReading&, int) {});
  for (const auto& f : hour_found(told, when, sky_of(when, 1, madison).front(), limits, around).limits)
    if (f.limit == Limit::flowers) {
      EXPECT_EQ(f.state, LimitState::pass);
    }
}

TEST(SprayHours, drought_is_for_oil_and_soap) {
  Around around = plain();
  around.drought = true;
  const auto nothing = [](HourlyReading&) {};
  check_row(seen("oil-drought", "oil on drought-stressed plants", "Colorado State 5.569 (copy)", stop),
            state(noon(usual_limits(Works::oil), Limit::drought, nothing, around)));
  around.drought.reset();
  around.water_short = Length::millimetres(31);
  EXPECT_EQ(noon(usual_limits(Works::soap), Limit::drought, nothing, around).state, LimitState::warn);
}

}  // namespace
}  // namespace leafturn::spray
