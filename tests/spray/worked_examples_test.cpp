// Worked examples of sprayer arithmetic as extension services print them (spray-practice.md 4.2 has the number of each
// example), and checks derived from exact unit definitions.
#include "core/spray/mix.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::spray {
namespace {

using test::check_row;
using test::From;

test::Row seen(const char* id, const char* what, const char* source, double expected, double tolerance, const char* unit) {
  return {std::string("spray.") + id, what, source, "seen", From::published, expected, tolerance, unit};
}
test::Row derived(const char* id, const char* what, double expected, double tolerance, const char* unit) {
  return {std::string("spray.") + id,
          what,
          "exact unit definitions (spray practice 4.2, derived)",
          "derived",
          From::independent,
          expected,
          tolerance,
          unit};
}

Flow floz_a_minute(double floz) { return Flow::of(Volume::fluid_ounces(floz), 60.0); }
Flow gallons_a_minute(double gal) { return Flow::of(Volume::gallons(gal), 60.0); }
Flow litres_a_minute(double l) { return Flow::of(Volume::litres(l), 60.0); }

TEST(WorkedExamples, Calibration) {
  check_row(seen("ex1", "16 fl oz caught in a minute", "UF/IFAS Marion County 2017", 0.125, 1e-9, "gal/min"),
            floz_a_minute(16).gallons_per_minute());
  check_row(seen("ex2", "3.75 gal/min, 5 mph, 222 in", "Albany County (WY) Weed and Pest (prints 20)", 20.0, 0.1, "gal/acre"),
            applied(gallons_a_minute(3.75), Speed::miles_per_hour(5), Length::inches(222)).gallons_per_acre());
  check_row(seen("ex3", "480 fl oz/min, 5 mph, 222 in", "Albany County (WY) Weed and Pest", 20.06, 0.02, "gal/acre"),
            applied(floz_a_minute(480), Speed::miles_per_hour(5), Length::inches(222)).gallons_per_acre());
  check_row(derived("ex4", "0.25 gal/min, 4 mph, 20 in", 18.5625, 1e-6, "gal/acre"),
            applied(gallons_a_minute(0.25), Speed::miles_per_hour(4), Length::inches(20)).gallons_per_acre());
  check_row(derived("ex5", "200 ft walked in 45 s", 3.0303, 1e-4, "mph"),
            Speed::metres_per_second(Length::feet(200).metres() / 45.0).miles_per_hour());
  check_row(seen("ex6", "course for 1/128 acre, swath 6 ft", "NC State backpack worksheet (prints 57)", 57.0, 0.5, "ft"),
            course_of_128th_acre(Length::feet(6)).feet());
  check_row(seen("ex7", "7.5 fl oz caught on 1/128 acre", "NC State backpack worksheet", 7.5, 1e-9, "gal/acre"),
            SprayVolume::of(Volume::fluid_ounces(7.5), Area::acres(1.0 / 128)).gallons_per_acre());
  check_row(seen("ex9", "40 fl oz on 18.5 × 18.5 ft", "1/128 method slides (prints 40)", 40.0, 0.3, "gal/acre"),
            SprayVolume::of(Volume::fluid_ounces(40), Area::square_feet(18.5 * 18.5)).gallons_per_acre());
  check_row(derived("ex11", "ground one gallon covers at 40 gal/acre", 1089.0, 1e-6, "ft2"),
            covered(Volume::gallons(1), SprayVolume::gallons_per_acre(40)).square_feet());
  check_row(seen("ex12", "1.5 gal on 1000 ft2", "extension method quoted on a fruit growers' list 2009 (prints 65)", 65.0, 0.5, "gal/acre"),
            SprayVolume::of(Volume::gallons(1.5), Area::square_feet(1000)).gallons_per_acre());
  check_row(derived("ex14", "25 fl oz on 8.5 × 18.5 ft, the plot a page misprints", 54.1, 0.1, "gal/acre"),
            SprayVolume::of(Volume::fluid_ounces(25), Area::square_feet(8.5 * 18.5)).gallons_per_acre());
  check_row(seen("ex15", "1.3 L/min, 7.8 km/h, 0.5 m", "Irish farming press, calibration formulae", 200.0, 1e-9, "L/ha"),
            applied(litres_a_minute(1.3), Speed::kilometres_per_hour(7.8), Length::metres(0.5)).litres_per_hectare());
  check_row(derived("ex16", "the same, 50 cm", 200.0, 1e-9, "L/ha"),
            applied(litres_a_minute(1.3), Speed::kilometres_per_hour(7.8), Length::centimetres(50)).litres_per_hectare());
  check_row(seen("ex17", "12 nozzles of 1.02 L/min, 6 km/h, 3 m", "orchard sprayer manual", 408.0, 1e-9, "L/ha"),
            applied(12 * litres_a_minute(1.02), Speed::kilometres_per_hour(6), Length::metres(3)).litres_per_hectare());
  check_row(derived("ex32", "12 fl oz on 25 × 4 ft", 40.8, 0.05, "gal/acre"),
            SprayVolume::of(Volume::fluid_ounces(12), Area::square_feet(100)).gallons_per_acre());
  check_row(derived("gal_per_acre", "1 gal/acre", 9.354, 0.001, "L/ha"), SprayVolume::gallons_per_acre(1).litres_per_hectare());
}

double wanted(const char* rate, const MixRequest& asked) {
  MixRequest request = asked;
  request.rate = *label::parse_rate(rate);
  return mix(request)->wanted;
}

TEST(WorkedExamples, Mixing) {
  MixRequest at_7_5{};
  at_7_5.carrier = SprayVolume::gallons_per_acre(7.5);
  at_7_5.volume = Volume::gallons(3);
  check_row(seen("ex8", "8 fl oz/acre at 7.5 gal/acre, a 3 gal tank", "NC State backpack worksheet", 3.2, 0.01, "fl oz"),
            Volume::litres(wanted("8 floz/acre", at_7_5)).fluid_ounces());
  MixRequest at_40{};
  at_40.carrier = SprayVolume::gallons_per_acre(40);
  at_40.volume = Volume::gallons(1);
  check_row(seen("ex10", "1 qt/acre at 40 gal/acre, a gallon", "1/128 method slides", 0.8, 1e-6, "fl oz"),
            Volume::litres(wanted("1 qt/acre", at_40)).fluid_ounces());
  MixRequest at_65{};
  at_65.carrier = SprayVolume::gallons_per_acre(65);
  at_65.volume = Volume::gallons(1);
  check_row(seen("ex13", "3 pt/acre at 65 gal/acre, a gallon", "extension method quoted on a fruit growers' list 2009 (prints 1.5 tbsp)",
                 1.5, 0.03, "tbsp"),
            Volume::litres(wanted("3 pt/acre", at_65)).tablespoons());
  MixRequest gallon{};
  gallon.volume = Volume::gallons(1);
  check_row(
      seen("ex23a", "1 pt/100 gal in a gallon", "New England Vegetable Management Guide, dilution tables (prints 1 tsp)", 1.0, 0.05, "tsp"),
      Volume::litres(wanted("1 pt/100gal", gallon)).teaspoons());
  check_row(
      seen("ex23b", "1 qt/100 gal in a gallon", "New England Vegetable Management Guide, dilution tables (prints 2 tsp)", 2.0, 0.1, "tsp"),
      Volume::litres(wanted("1 qt/100gal", gallon)).teaspoons());
  check_row(seen("ex23c", "1 gal/100 gal in a gallon", "New England Vegetable Management Guide, dilution tables (prints 2.5 tbsp)", 2.5,
                 0.1, "tbsp"),
            Volume::litres(wanted("1 gal/100gal", gallon)).tablespoons());
  for (const auto& [pounds, grams] : {std::pair{"1 lb/100gal", 5.0}, {"2 lb/100gal", 10.0}, {"4 lb/100gal", 20.0}})
    check_row(seen((std::string("ex24 ") + pounds).c_str(), "wettable powder in a gallon",
                   "New England Vegetable Management Guide, dilution tables (rounds 4.54 g a pound up to 5)", grams, 0.1 * grams, "g"),
              wanted(pounds, gallon));
  MixRequest odd{};
  odd.volume = Volume::gallons(6.25);
  check_row(seen("ex25", "1 pt/100 gal in 6.25 gal", "New England Vegetable Management Guide, dilution tables", 1.0, 1e-6, "fl oz"),
            Volume::litres(wanted("1 pt/100gal", odd)).fluid_ounces());
  MixRequest tank{};
  tank.volume = Volume::gallons(500);
  check_row(seen("ex26a", "2 lb/100 gal, 500 gal", "dilution note", 10.0, 1e-6, "lb"), Mass::grams(wanted("2 lb/100gal", tank)).pounds());
  tank.volume = Volume::gallons(35);
  check_row(derived("ex26b", "2 lb/100 gal, 35 gal left to spray", 0.7, 1e-6, "lb"), Mass::grams(wanted("2 lb/100gal", tank)).pounds());
  MixRequest bed{};
  bed.area = Area::square_feet(100);
  bed.carrier = SprayVolume::gallons_per_acre(65);
  check_row(derived("ex27a", "1.5 pt/acre on 100 ft2", 1.63, 0.005, "mL"), wanted("1.5 pt/acre", bed) * 1e3);
  MixRequest bed_mix = bed;
  bed_mix.rate = *label::parse_rate("1.5 pt/acre");
  check_row(derived("ex27b", "finished spray on 100 ft2 at 65 gal/acre", 0.149, 0.0005, "gal"), mix(bed_mix)->finished.gallons());
  MixRequest oil{};
  oil.volume = Volume::gallons(1.5);
  check_row(derived("ex28", "2 % v/v in 1.5 gal", 113.6, 0.05, "mL"), wanted("2 %", oil) * 1e3);
  MixRequest knapsack{};
  knapsack.volume = Volume::litres(20);
  knapsack.carrier = SprayVolume::of(Volume::litres(1), Area::square_metres(10));
  check_row(derived("ex31", "25 kg/ha, 1 L covers 10 m2, a 20 L tank", 500.0, 1e-6, "g"), wanted("25000 g/ha", knapsack));
}

}  // namespace
}  // namespace leafturn::spray
