// Hydrolysis in the tank (spray practice 5.2; rows 33 and 34 of its section 9) and the order of mixing.
#include "core/spray/tank.hpp"

#include "io/dossier_toml.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::spray {
namespace {

using test::check_row;
using test::From;

const char* const column = "Hawaii garden column 2016, half-lives of pesticides by water pH; decay 2^(-t/half-life)";

test::Row left(const char* id, const char* what, double expected) {
  return {std::string("tank.") + id, what, column, "derived", From::published, expected, 0.001, "share left"};
}

double hours_at(const char* name, double ph) {
  static const auto library = io::built_in_library().value();
  const auto* active = library.active_named(name);
  EXPECT_NE(active, nullptr) << name;
  const auto* water = active == nullptr ? nullptr : in_water(*active, ph);
  return water == nullptr ? 0.0 : water->low_hours;
}

TEST(Tank, Rows) {
  check_row(left("33a", "malathion at pH 8, 4 h in the tank", 0.864), left_in_tank(4.0, hours_at("malathion", 8.0)));
  check_row(left("33b", "malathion at pH 8, 24 h", 0.417), left_in_tank(24.0, hours_at("malathion", 8.0)));
  check_row(left("34", "captan at pH 7 (half-life 8 h as printed), 4 h", 0.707), left_in_tank(4.0, 8.0));
  check_row(left("carbaryl", "carbaryl at pH 9, 6 h", 0.841), left_in_tank(6.0, hours_at("carbaryl", 9.0)));
  check_row({"tank.carbaryl6", "carbaryl at pH 6: half-life, the shorter end of 100 to 150 days", column, "seen", From::published, 100.0,
             1e-9, "d"},
            hours_at("carbaryl", 6.0) / 24.0);
  check_row({"tank.malathion6", "malathion at pH 6: half-life", column, "seen", From::published, 8.0, 1e-9, "d"},
            hours_at("malathion", 6.0) / 24.0);
}

TEST(Tank, water_between_two_published_ph_is_taken_as_the_harsher) {
  EXPECT_EQ(hours_at("malathion", 7.2), hours_at("malathion", 8.0));
  EXPECT_EQ(hours_at("malathion", 8.4), 0.0) << "nothing is published above, so nothing is said";
}

TEST(Tank, products_go_in_by_formulation) {
  EXPECT_EQ(mixing_step("WP"), Step::powder);
  EXPECT_EQ(mixing_step("wdg"), Step::powder);
  EXPECT_EQ(mixing_step("SC"), Step::flowable);
  EXPECT_EQ(mixing_step("EC"), Step::emulsion);
  EXPECT_EQ(mixing_step("SL"), Step::solution);
  EXPECT_FALSE(mixing_step("RTU"));
  EXPECT_LT(Step::buffer, Step::powder);
  EXPECT_LT(Step::powder, Step::flowable);
  EXPECT_LT(Step::flowable, Step::emulsion);
  EXPECT_LT(Step::emulsion, Step::solution);
}

}  // namespace
}  // namespace leafturn::spray
