// FAO-56 against its own worked examples.
#include "core/weather/evaporation.hpp"

#include <gtest/gtest.h>

#include "tests/support/check_rows.hpp"

namespace leafturn::weather {
namespace {

using test::check_row;
using test::From;

const char* const paper = "Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56";

Temperature celsius(double c) { return Temperature::celsius(c); }
double kpa(Pressure p) { return p.hectopascals() / 10.0; }

void printed(const char* id, const char* what, double expected, double tolerance, const char* unit, double got) {
  check_row({std::string("fao56.") + id, what, paper, "seen", From::published, expected, tolerance, unit}, got);
}
void exact(const char* id, const char* what, double expected, const char* unit, double got) {
  check_row({std::string("fao56.") + id + ".exact", what, std::string(paper) + ", recomputed", "derived", From::independent, expected, 2e-7,
             unit},
            got);
}

TEST(Fao56, vapour_pressures) {
  printed("fa01", "saturation pressure at 15 °C (ex. 3)", 1.705, 5e-4, "kPa", kpa(fao_saturation_pressure(celsius(15))));
  exact("fa01", "saturation pressure at 15 °C", 1.70534623, "kPa", kpa(fao_saturation_pressure(celsius(15))));
  printed("fa02", "saturation pressure at 24.5 °C (ex. 3)", 3.075, 5e-4, "kPa", kpa(fao_saturation_pressure(celsius(24.5))));
  printed("fa03", "mean saturation pressure of 15 and 24.5 °C (ex. 3)", 2.39, 5e-3, "kPa",
          kpa(fao_mean_saturation_pressure(celsius(15), celsius(24.5))));
  exact("fa03", "mean saturation pressure of 15 and 24.5 °C", 2.38999764, "kPa",
        kpa(fao_mean_saturation_pressure(celsius(15), celsius(24.5))));
  const Pressure high = fao_pressure_at(Length::metres(1800));
  printed("fa04", "pressure at 1800 m (ex. 2)", 81.8, 0.05, "kPa", kpa(high));
  exact("fa04", "pressure at 1800 m", 81.75579641, "kPa", kpa(high));
  printed("fa05", "psychrometric constant at 1800 m (ex. 2)", 0.054, 5e-4, "kPa/°C", fao_psychrometric_constant(high));
  printed("fa06", "vapour pressure from 25.6 and 19.5 °C at 1200 m (ex. 4)", 1.91, 5e-3, "kPa",
          kpa(fao_vapour_from_bulbs(celsius(25.6), celsius(19.5), Pressure::kilopascals(87.9))));
  printed("fa07", "vapour pressure from 82 % at 18 °C and 54 % at 25 °C (ex. 5)", 1.70, 5e-3, "kPa",
          kpa(fao_vapour_from_humidity(celsius(18), celsius(25), 0.82, 0.54)));
  exact("fa07", "vapour pressure from humidities", 1.70153556, "kPa", kpa(fao_vapour_from_humidity(celsius(18), celsius(25), 0.82, 0.54)));
  printed("fa15", "slope of saturation pressure at 30.2 °C (ex. 17)", 0.246, 5e-4, "kPa/°C", fao_saturation_slope(celsius(30.2)));
  exact("fa15", "slope of saturation pressure at 30.2 °C", 0.24580028, "kPa/°C", fao_saturation_slope(celsius(30.2)));
  printed("fa18", "vapour pressure at a dew point of 14.8 °C (ex. 20)", 1.68, 5e-3, "kPa", kpa(fao_saturation_pressure(celsius(14.8))));
}

TEST(Fao56, radiation_and_daylight) {
  const Angle south = Angle::degrees(-20);
  printed("fa08", "extraterrestrial radiation at 20° S on 3 September (ex. 8)", 32.2, 0.05, "MJ/m²/d",
          fao_extraterrestrial(south, 246).megajoules);
  exact("fa08", "extraterrestrial radiation at 20° S, day 246", 32.19399588, "MJ/m²/d", fao_extraterrestrial(south, 246).megajoules);
  printed("fa09", "daylight at 20° S on 3 September (ex. 9)", 11.7, 0.05, "h", fao_daylight_hours(south, 246));
  exact("fa09", "daylight at 20° S, day 246", 11.66559195, "h", fao_daylight_hours(south, 246));
  printed("fa10", "sun from 7.1 of 10.9 h (ex. 10)", 14.5, 0.06, "MJ/m²/d", fao_solar_from_sunshine(7.1, 10.9, {25.1}).megajoules);
  printed("fa11", "net longwave (ex. 11)", 3.5, 0.05, "MJ/m²/d",
          fao_net_longwave(celsius(19.1), celsius(25.1), Pressure::kilopascals(2.1), {14.5}, {18.8}).megajoules);
  printed("fa12", "net shortwave (ex. 12; a rounding slip of 0.1 in the paper is known)", 11.1, 0.1, "MJ/m²/d",
          fao_net_shortwave({14.5}).megajoules);
  printed("fa14", "sun from a range of 14.8 … 26.6 °C (ex. 15)", 22.3, 0.05, "MJ/m²/d",
          fao_solar_from_temperatures(celsius(14.8), celsius(26.6), {40.6}).megajoules);
  printed("fa19", "clear sky at 100 m (ex. 18)", 30.90, 5e-3, "MJ/m²/d", fao_clear_sky(Length::metres(100), {41.09}).megajoules);
  struct Place {
    const char* id;
    double latitude;
    int day;
    double ra, hours;
  };
  for (const auto& [id, latitude, day, ra, hours] : {Place{"45n15", 45, 15, 11.93126547, 8.95506130},
                                                     {"45n172", 45, 172, 41.91046094, 15.42483322},
                                                     {"40n80", 40, 80, 28.77438672, 11.96627510},
                                                     {"50n187", 50.8, 187, 41.08837556, 16.10461168},
                                                     {"22s135", -22.9, 135, 25.11102777, 10.89507561}}) {
    exact((std::string("ra.") + id).c_str(), "extraterrestrial radiation", ra, "MJ/m²/d",
          fao_extraterrestrial(Angle::degrees(latitude), day).megajoules);
    exact((std::string("n.") + id).c_str(), "daylight", hours, "h", fao_daylight_hours(Angle::degrees(latitude), day));
  }
  EXPECT_EQ(fao_extraterrestrial(Angle::degrees(80), 355).megajoules, 0.0);
  EXPECT_NEAR(fao_daylight_hours(Angle::degrees(80), 172), 24.0, 1e-12);
}

TEST(Fao56, wind_at_two_metres) {
  const Speed wind = fao_wind_at_2m(Speed::metres_per_second(3.2), Length::metres(10));
  printed("fa13", "3.2 m/s at 10 m (ex. 14)", 2.4, 0.05, "m/s", wind.metres_per_second());
  exact("fa13", "3.2 m/s at 10 m", 2.39344344, "m/s", wind.metres_per_second());
}

TEST(Fao56, penman_monteith) {
  // The examples' inputs are from memory, their answers were read.
  EvaporationDay bangkok;
  bangkok.min = celsius(25.6);
  bangkok.max = celsius(34.8);
  bangkok.latitude = Angle::degrees(13.0 + 44.0 / 60.0);
  bangkok.elevation = Length::metres(2);
  bangkok.day_of_year = 105;
  bangkok.vapour = Pressure::kilopascals(2.85);
  bangkok.sunshine_hours = 8.5;
  bangkok.wind = Speed::metres_per_second(2);
  bangkok.month_before = celsius(29.2);
  printed("fa16", "April at 13°44′ N (ex. 17, inputs from memory)", 5.72, 0.05, "mm/d", reference_evaporation(bangkok).water.millimetres());

  EvaporationDay brussels;
  brussels.min = celsius(12.3);
  brussels.max = celsius(21.5);
  brussels.latitude = Angle::degrees(50.8);
  brussels.elevation = Length::metres(100);
  brussels.day_of_year = 187;
  brussels.humidity_max = 0.84;
  brussels.humidity_min = 0.63;
  brussels.sunshine_hours = 9.25;
  brussels.wind = Speed::kilometres_per_hour(10);
  brussels.wind_height = Length::metres(10);
  const Evaporation day = reference_evaporation(brussels);
  printed("fa17", "6 July at 50°48′ N (ex. 18, inputs from memory)", 3.9, 0.05, "mm/d", day.water.millimetres());
  EXPECT_FALSE(day.humidity_guessed || day.sun_guessed || day.wind_guessed);

  EvaporationDay bare;
  bare.min = celsius(14.8);
  bare.max = celsius(26.6);
  bare.latitude = Angle::degrees(45.7);
  bare.elevation = Length::metres(200);
  bare.day_of_year = 196;
  const Evaporation guessed = reference_evaporation(bare);
  EXPECT_TRUE(guessed.humidity_guessed && guessed.sun_guessed && guessed.wind_guessed);
  EXPECT_NEAR(guessed.water.millimetres(), 4.56, 0.005);  // ours, so that a change is seen
}

TEST(Fao56, a_wind_nobody_can_have_measured_is_guessed_and_no_vapour_is_dry_air) {
  EvaporationDay day;
  day.min = celsius(15);
  day.max = celsius(30);
  day.latitude = Angle::degrees(43);
  day.day_of_year = 180;
  day.wind = Speed::metres_per_second(5);
  day.wind_height = Length::metres(0.05);
  const Evaporation low = reference_evaporation(day);
  day.wind.reset();
  const Evaporation none = reference_evaporation(day);
  EXPECT_TRUE(low.wind_guessed);
  EXPECT_EQ(low.water.millimetres(), none.water.millimetres());
  EXPECT_GT(low.water.millimetres(), 3.0);
  day.vapour = Pressure::kilopascals(-0.1);
  const double below = reference_evaporation(day).water.millimetres();
  day.vapour = Pressure{};
  EXPECT_EQ(below, reference_evaporation(day).water.millimetres());
  EXPECT_GT(below, none.water.millimetres());
}

TEST(Fao56, never_below_nothing_and_more_where_it_is_drier) {
  EvaporationDay day;
  for (int doy = 1; doy <= 365; doy += 13)
    for (double t = -20.0; t <= 40.0; t += 5.0) {
      day.min = celsius(t - 5.0);
      day.max = celsius(t + 5.0);
      day.latitude = Angle::degrees(43);
      day.day_of_year = doy;
      day.dew_point = celsius(t - 5.0);
      const double moist = reference_evaporation(day).water.millimetres();
      day.dew_point = celsius(t - 15.0);
      const double dry = reference_evaporation(day).water.millimetres();
      EXPECT_GE(moist, 0.0);
      EXPECT_LT(dry, 20.0);
      if (t >= 5.0 && moist > 0.0 && doy > 80 && doy < 280) {
        EXPECT_GT(dry, moist) << doy << " " << t;
      }
    }
}

}  // namespace
}  // namespace leafturn::weather
