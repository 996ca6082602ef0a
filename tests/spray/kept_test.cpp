// What the ledger says of sprayers and of the shelf: common practice, no source, but where a row names one.
#include "core/spray/kept.hpp"

#include "tests/support/check_rows.hpp"

namespace leafturn::spray {
namespace {

using Basis = label::ProductRate::Basis;
using garden::Amount;

Instant at(const char* iso) { return Instant::parse(iso).value(); }
template <class What>
garden::Dated<What> dated(const What& what, const char* when, const char* by = "ana") {
  garden::Dated<What> one{};
  one.what = what;
  one.at = at(when);
  one.by = by;
  return one;
}
garden::Garden with_test(const char* when, const char* nozzle = "fan", const char* by = "ana") {
  garden::Garden g;
  g.equipment.push_back(dated(garden::EquipmentKept{"knapsack", "fan", Volume::litres(15), ""}, "2026-04-01T08:00Z"));
  g.catch_tests.push_back(dated(garden::CatchTest{"knapsack", nozzle, Volume::fluid_ounces(40), Area::acres(1.0 / 128), ""}, when, by));
  return g;
}

TEST(Kept, a_catch_test_is_for_one_sprayer_nozzle_and_person_and_ages) {
  const Instant now = at("2026-06-10T08:00Z");
  const auto state = [&](const garden::Garden& g, const char* nozzle = "", const char* by = "ana") {
    return calibration_of(g, "knapsack", nozzle, by, now).state;
  };
  EXPECT_EQ(state(with_test("2026-06-01T08:00Z")), Calibrated::yes);
  EXPECT_EQ(state(with_test("2026-04-11T08:00Z")), Calibrated::yes) << "60 days to the minute";
  EXPECT_EQ(state(with_test("2026-04-11T07:59Z")), Calibrated::too_old);
  EXPECT_EQ(state(with_test("2026-06-01T08:00Z", "cone")), Calibrated::other_nozzle);
  EXPECT_EQ(state(with_test("2026-06-01T08:00Z"), "cone"), Calibrated::other_nozzle);
  EXPECT_EQ(state(with_test("2026-06-01T08:00Z"), "", "ben"), Calibrated::other_person);
  EXPECT_EQ(state(with_test("2026-06-11T08:00Z")), Calibrated::never) << "not yet taken";
  EXPECT_EQ(calibration_of({}, "knapsack", "", "ana", now).state, Calibrated::never);
  test::check_row(
      {"spray.catch", "40 fl oz caught on 1/128 acre", "1/128 method slides", "seen", test::From::published, 40.0, 1e-9, "gal/acre"},
      calibration_of(with_test("2026-06-01T08:00Z"), "knapsack", "", "ana", now).gives->gallons_per_acre());
}

garden::Used used(Amount amount, double square_metres, double mixed, double leftover) {
  garden::Used u;
  u.amount = amount;
  u.area = Area::square_metres(square_metres);
  u.mixed = Volume::litres(mixed);
  u.leftover = Volume::litres(leftover);
  return u;
}

TEST(Kept, what_was_left_over_is_not_on_the_ground) {
  const auto u = used(Volume::millilitres(20), 100, 4, 1);
  EXPECT_NEAR(actual_rate(u, Basis::volume_per_area)->value, 0.015 / 100, 1e-12) << "15 of 20 mL on 100 m²";
  EXPECT_NEAR(actual_rate(u, Basis::volume_per_volume)->value, 0.020 / 4, 1e-12) << "as strong as it was mixed";
  EXPECT_FALSE(actual_rate(u, Basis::mass_per_area)) << "a liquid's weight isn't known";
  garden::Used without = u;
  without.mixed.reset();
  EXPECT_FALSE(actual_rate(without, Basis::volume_per_area)) << "a share of what wasn't told";
}

TEST(Kept, a_rate_in_the_other_measure) {
  // 32 fl oz/acre at 40 gal/acre are 0.8 fl oz/gal (1/128 method slides), and back.
  const auto per_area = label::parse_rate("32 floz/acre").value();
  const auto per_volume = other_measure(per_area, SprayVolume::gallons_per_acre(40));
  test::check_row(
      {"spray.other_measure", "32 fl oz/acre at 40 gal/acre", "1/128 method slides", "seen", test::From::published, 0.8, 1e-9, "fl oz/gal"},
      per_volume.value * 128.0);
  EXPECT_NEAR(other_measure(per_volume, SprayVolume::gallons_per_acre(40)).value, per_area.value, 1e-15);
}

TEST(Kept, the_shelf_is_the_last_count_less_what_was_used_since) {
  garden::Garden g;
  g.stock.push_back(dated(garden::StockCounted{"Oil", "A", Volume::litres(1), {}, {}, ""}, "2026-05-01T08:00Z"));
  g.stock.push_back(dated(garden::StockCounted{"Oil", "B", Volume::litres(2), {}, Date::parse("2026-06-01"), ""}, "2026-05-02T08:00Z"));
  const auto spray = [&](const char* when, const char* lot, Amount amount) {
    garden::Application a;
    a.bed = "1";
    a.product = "Oil";
    a.used.lot = lot;
    a.used.amount = amount;
    g.applications.push_back(dated(a, when));
  };
  spray("2026-04-30T08:00Z", "A", Volume::litres(0.5));  // before it was counted
  spray("2026-05-03T08:00Z", "A", Volume::litres(0.25));
  spray("2026-05-04T08:00Z", "", Volume::litres(0.5));  // which lot isn't told: the one counted last
  const auto lots = shelf(g, *Date::parse("2026-06-10"));
  ASSERT_EQ(lots.size(), 2U);
  EXPECT_NEAR(std::get<Volume>(lots[0].left).litres(), 0.75, 1e-12);
  EXPECT_NEAR(std::get<Volume>(lots[1].left).litres(), 1.5, 1e-12);
  EXPECT_FALSE(lots[0].expired);
  EXPECT_TRUE(lots[1].expired);
  spray("2026-05-05T08:00Z", "A", Volume::litres(0.8));
  EXPECT_TRUE(shelf(g, *Date::parse("2026-06-10"))[0].negative);
  spray("2026-05-06T08:00Z", "B", Mass::grams(5));
  EXPECT_TRUE(shelf(g, *Date::parse("2026-06-10"))[1].other_kind);
}

}  // namespace
}  // namespace leafturn::spray
