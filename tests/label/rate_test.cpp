// Rates as labels print them. Expected values are arithmetic on the exact unit definitions (international yard and pound 1959, US gallon of
// 231 in³).
#include <cmath>

#include "core/label/card.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::label {
namespace {

using Basis = ProductRate::Basis;

constexpr double gallon = 3.785411784;
constexpr double acre = 4046.8564224;
constexpr double pound = 453.59237;

struct Printed {
  const char* text;
  Basis basis;
  double value;
};

TEST(Rate, ReadsEveryPrintedForm) {
  const Printed rows[] = {
      {"2 qt/acre", Basis::volume_per_area, 2 * gallon / 4 / acre},
      {"1 qt per acre", Basis::volume_per_area, gallon / 4 / acre},
      {"1.5 pt/A", Basis::volume_per_area, 1.5 * gallon / 8 / acre},
      {"1 gal/ac", Basis::volume_per_area, gallon / acre},
      {"32 fl oz/acre", Basis::volume_per_area, gallon / 4 / acre},
      {"1 L/ha", Basis::volume_per_area, 1e-4},
      {"2 litros por hectárea", Basis::volume_per_area, 2e-4},
      {"0,5 l/ha", Basis::volume_per_area, 0.5e-4},
      {"5 ml/m²", Basis::volume_per_area, 0.005},
      {"2 fl oz per 1,000 sq ft", Basis::volume_per_area, 2 * gallon / 128 / 92.90304},
      {"3 lb/acre", Basis::mass_per_area, 3 * pound / acre},
      {"3 lbs. per acre", Basis::mass_per_area, 3 * pound / acre},
      {"1 oz/1000ft2", Basis::mass_per_area, pound / 16 / 92.90304},
      {"1 oz/1000 ft^2", Basis::mass_per_area, pound / 16 / 92.90304},
      {"500 g/ha", Basis::mass_per_area, 0.05},
      {"1.25 kg/ha", Basis::mass_per_area, 0.125},
      {"1 floz/gal", Basis::volume_per_volume, 1.0 / 128},
      {"1.5 fl oz/gal", Basis::volume_per_volume, 1.5 / 128},
      {"1½ fl. oz. per gallon of water", Basis::volume_per_volume, 1.5 / 128},
      {"1 1/2 fluid ounces per gallon", Basis::volume_per_volume, 1.5 / 128},
      {"1/2 floz/gal", Basis::volume_per_volume, 0.5 / 128},
      {"2 tsp/gal", Basis::volume_per_volume, 2.0 / 768},
      {"2 Tbsp/gal", Basis::volume_per_volume, 2.0 / 256},
      {"2 tablespoons per gallon", Basis::volume_per_volume, 2.0 / 256},
      {"1 gal/100 gal", Basis::volume_per_volume, 0.01},
      {"1 qt/100gal", Basis::volume_per_volume, 0.0025},
      {"20 ml/L", Basis::volume_per_volume, 0.02},
      {"20 mL / litre", Basis::volume_per_volume, 0.02},
      {"15 cc/L", Basis::volume_per_volume, 0.015},
      {"200 ml/100 L", Basis::volume_per_volume, 0.002},
      {"200 ml/hl", Basis::volume_per_volume, 0.002},
      {"0.5 %", Basis::volume_per_volume, 0.005},
      {"0.5% v/v", Basis::volume_per_volume, 0.005},
      {"2% solution", Basis::volume_per_volume, 0.02},
      {"1% w/v", Basis::mass_per_volume, 10.0},
      {"1 lb/100gal", Basis::mass_per_volume, pound / (100 * gallon)},
      {"2 oz/gal", Basis::mass_per_volume, pound / 8 / gallon},
      {"5 g/L", Basis::mass_per_volume, 5.0},
  };
  for (const Printed& row : rows) {
    const auto rate = parse_rate(row.text);
    ASSERT_TRUE(rate.has_value()) << row.text << ": " << rate.error().code;
    EXPECT_EQ(rate->basis, row.basis) << row.text;
    EXPECT_NEAR(rate->value, row.value, 1e-12 * row.value) << row.text;
    EXPECT_EQ(rate->as_given, row.text);
  }
}

TEST(Rate, RefusesNonsense) {
  for (const char* text : {"",
                           " ",
                           "2",
                           "qt/acre",
                           "2 qt",
                           "2 /acre",
                           "2 qt/",
                           "2 qt/acre/day",
                           "2 qt acre",
                           "2 qt/lb",
                           "2 acre/qt",
                           "1-2 floz/gal",
                           "two qt/acre",
                           "-1 qt/acre",
                           "1e3 qt/acre",
                           "nan qt/acre",
                           "inf L/ha",
                           "2 qt/plant",
                           "2 spoons/gal",
                           "1,500 ml/L",
                           "1.2.3 L/ha",
                           "1 0.5 L/ha",
                           "2 3/2 L/ha",
                           "1/0 floz/gal",
                           "0.5 % w/w",
                           "%",
                           "2 % acre",
                           "1 oz//gal",
                           "1 lb/0 gal",
                           "2 qt/-1 acre",
                           "1 floz/gal ✓",
                           "1 s/gal",
                           "1 per gal",
                           "1234567890123456 ml/L"})
    EXPECT_FALSE(parse_rate(text).has_value()) << text;
  EXPECT_EQ(parse_rate("2 qt").error().code, "label.rate_unreadable");
  EXPECT_EQ(parse_rate("0 qt/acre").error().code, "label.rate_not_positive");
  EXPECT_EQ(parse_rate("0.0 %").error().code, "label.rate_not_positive");
  EXPECT_EQ(parse_rate("150 %").error().code, "label.rate_more_than_spray");
  EXPECT_EQ(parse_rate("2 L/L").error().code, "label.rate_more_than_spray");
  EXPECT_FALSE(parse_rate(std::string(5000, '1')).has_value());
  EXPECT_FALSE(parse_rate(std::string("1 L\0/ha", 7)).has_value());
}

// A bare ounce is weight: 'floz' and 'oz' per gallon must never compare.
TEST(Rate, OunceAloneIsWeight) {
  EXPECT_EQ(parse_rate("1 oz/gal")->basis, Basis::mass_per_volume);
  EXPECT_EQ(parse_rate("1 fl oz/gal")->basis, Basis::volume_per_volume);
}

TEST(Rate, CheckRows) {
  using test::check_row;
  using test::From;
  check_row({"rate.1gal_100gal.tbsp", "1 gal/100 gal as tablespoons per gallon (the table rounds to halves)",
             "New England Vegetable Management Guide, dilution tables", "seen", From::published, 2.5, 0.1, "tbsp/gal"},
            parse_rate("1 gal/100 gal")->value * 256);
  check_row({"rate.1lb_100gal.grams", "1 lb/100 gal as grams per gallon", "University of Kentucky, Pesticide calculations for homeowners",
             "seen", From::published, 4.54, 0.0454, "g/gal"},
            parse_rate("1 lb/100gal")->value * gallon);
  check_row({"rate.1lb_100gal.mg_per_l", "1 lb/100 gal as mg/L", "University of Kentucky, Pesticide calculations for homeowners", "seen",
             From::published, 1198, 11.98, "mg/L"},
            parse_rate("1 lb/100gal")->value * 1000);
  check_row({"rate.25kg_ha", "25 kg/ha as g/m²", "UK knapsack calibration training note (Amenity Academy)", "seen", From::published, 2.5,
             1e-12, "g/m²"},
            parse_rate("25 kg/ha")->value);
}

}  // namespace
}  // namespace leafturn::label
