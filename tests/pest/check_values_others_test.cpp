// Five pests of many crops and a predator against published figures. Where a figure was fitted to, the row says so: it is a residual, not a
// test of the fit.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"
#include "tests/pest/dossiers.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn {
namespace {

using test::check_row;
using test::check_row_between;
using test::days;
using test::days_by;
using test::dossier;
using test::From;
using test::known_miss;
using test::library;
using test::set_of;

double develops(const pest::Dossier& d, std::string_view from, std::string_view to, double celsius) {
  return days(d, from, to, celsius) < 1e8 ? 1.0 : 0.0;
}

double figure(const pest::Dossier& d, std::string_view what) {
  for (const auto& f : d.figures)
    if (f.what == what) return f.low;
  ADD_FAILURE() << d.id << " has no figure " << what;
  return 0.0;
}

// Rate of increase of a life with `young` daughters born evenly from `first` days of age on, over `bearing` days: Euler and Lotka's
// equation, solved by halving.
double rate_of_increase(double young, double first, double bearing) {
  const auto excess = [&](double r) { return young * std::exp(-r * first) * -std::expm1(-r * bearing) / (r * bearing) - 1.0; };
  double low = 1e-6;
  double high = 2.0;
  for (int i = 0; i < 100; ++i) {
    const double middle = 0.5 * (low + high);
    (excess(middle) > 0.0 ? low : high) = middle;
  }
  return low;
}

TEST(PublishedOthers, stink_bug_days_are_the_swiss_ones) {
  const auto& d = dossier("brown-marmorated-stink-bug");
  const double published[][2] = {{20.0, 75.8}, {25.0, 42.3}, {30.0, 33.2}};
  for (const auto& [t, expected] : published)
    check_row({"pest.HALYHA.total." + std::to_string(static_cast<int>(t)) + "c", "egg to adult, Swiss (the table in use holds it)",
               "Haye et al. 2014", "seen", From::published, expected, 0.01, "d"},
              days(d, "egg", "nymph-5", t));
  for (const double t : {15.0, 35.0})
    check_row({"pest.HALYHA.none." + std::to_string(static_cast<int>(t)) + "c", "whether it develops (the table in use holds it)",
               "Haye et al. 2014", "seen", From::published, 0.0, 0.0, "yes = 1"},
              develops(d, "egg", "nymph-5", t));
}

TEST(PublishedOthers, stink_bug_grows_up_where_the_american_study_saw_it) {
  // Another population than the table's: not fitted to.
  const auto& d = dossier("brown-marmorated-stink-bug");
  for (const double t : {17.0, 33.0})
    check_row({"pest.HALYHA.reached." + std::to_string(static_cast<int>(t)) + "c", "whether adults are reached, Pennsylvania",
               "Nielsen et al. 2008", "seen", From::published, 1.0, 0.0, "yes = 1"},
              develops(d, "egg", "nymph-5", t));
}

TEST(PublishedOthers, stink_bug_straight_line_misses_where_the_curve_bends) {
  const auto& d = dossier("brown-marmorated-stink-bug");
  const auto row = [](const char* id, double expected) {
    return test::Row{id,
                     "egg to adult by the published constant and the regression's threshold (fitted to)",
                     "Haye et al. 2014",
                     "seen",
                     From::published,
                     expected,
                     1.0,
                     "d"};
  };
  known_miss(row("pest.HALYHA.linear.20c", 75.8), days_by(set_of(d, "haye-2014-linear"), 20.0), -4.5, -3.5);
  known_miss(row("pest.HALYHA.linear.25c", 42.3), days_by(set_of(d, "haye-2014-linear"), 25.0), 2.0, 2.6);
  check_row(row("pest.HALYHA.linear.30c", 33.2), days_by(set_of(d, "haye-2014-linear"), 30.0));
}

TEST(PublishedOthers, stink_bug_constants) {
  const auto& d = dossier("brown-marmorated-stink-bug");
  const auto is = [](const char* id, const char* what, const char* source, double expected, const char* unit, double got) {
    check_row({id, what, source, "seen", From::published, expected, 0.0, unit}, got);
  };
  is("pest.HALYHA.briere.lower", "lower limit, egg to adult", "McPherson (ed.) 2018", 14.14, "°C", figure(d, "egg_to_adult_lower_limit"));
  is("pest.HALYHA.briere.upper", "upper limit, egg to adult", "McPherson (ed.) 2018", 35.76, "°C", figure(d, "egg_to_adult_upper_limit"));
  is("pest.HALYHA.heat", "heat from egg to adult", "Nielsen et al. 2008", 537.63, "°C·d", figure(d, "egg_to_adult_heat"));
  is("pest.HALYHA.mass", "eggs in a mass, median", "Nielsen et al. 2008", 28.0, "eggs", d.laying.per_mass->value);
  is("pest.HALYHA.interval", "days between masses at 25 °C", "Nielsen et al. 2008", 4.32, "d", d.laying.interval_days->value);
  const auto* before = d.stages[*d.stage_index("adult-new")].rate.linear();
  ASSERT_NE(before, nullptr);
  is("pest.HALYHA.before", "heat before the first eggs", "Nielsen et al. 2008", 147.65, "°C·d", before->constant.value.celsius_days());
}

TEST(PublishedOthers, thrips_by_the_pair_in_use) {
  const auto& d = dossier("onion-thrips");
  const auto thrips = [&](double t) { return days(d, "egg", "pupa-2", t); };
  const std::string own = "Jamieson et al. 2012";
  // A straight line is too slow near its threshold.
  known_miss(
      {"pest.THRITB.total.12c", "egg to adult at 12 °C, of the study the pair comes from", own, "seen", From::published, 51.1, 0.0, "d"},
      thrips(12.0), 5.0, 6.0);
  check_row(
      {"pest.THRITB.total.30c", "egg to adult at 30 °C, of the study the pair comes from", own, "seen", From::published, 10.3, 0.3, "d"},
      thrips(30.0));
  const std::string cucumber = "Deligeorgidis et al. 2006, cucumber";
  check_row({"pest.THRITB.cucumber.15c", "egg to adult at 15 °C, another population (not fitted to)", cucumber, "seen", From::published,
             32.76, 1.6, "d"},
            thrips(15.0));
  known_miss({"pest.THRITB.cucumber.30c", "egg to adult at 30 °C, another population (not fitted to)", cucumber, "seen", From::published,
              11.78, 0.0, "d"},
             thrips(30.0), -1.9, -1.5);
}

TEST(PublishedOthers, thrips_dispersion_and_the_plants_it_asks_for) {
  const auto& d = dossier("onion-thrips");
  ASSERT_FALSE(d.dispersions.empty());
  const auto& taylor = d.dispersions.front();
  check_row({"pest.THRITB.taylor.a", "Taylor's a, onion, 41 fields", "Soto-Rojas et al. 2021", "seen", From::published, 2.586, 0.0, ""},
            taylor.a);
  check_row({"pest.THRITB.taylor.b", "Taylor's b, onion, 41 fields", "Soto-Rojas et al. 2021", "seen", From::published, 1.511, 0.0, ""},
            taylor.b);
  ASSERT_FALSE(d.sampling.empty());
  check_row({"pest.THRITB.plants", "plants for a quarter of the mean at 5 per plant, a·m^(b−2)/D², rounded up", "formula, computed here",
             "derived", From::quadrature, std::ceil(taylor.a * std::pow(5.0, taylor.b - 2.0) / 0.0625), 0.0, "plants"},
            d.sampling.front().plants);
}

TEST(PublishedOthers, mite_rate_of_increase) {
  // Nothing here was fitted to the rates of increase; that half of the eggs are daughters is chosen.
  const auto& d = dossier("two-spotted-spider-mite");
  const auto r = [&](double t) {
    return rate_of_increase(0.5 * 0.862 * d.laying.fecundity->value, days(d, "egg", "adult-new", t),
                            days(d, "adult-laying", "adult-laying", t));
  };
  const std::string source = "Bounfour & Tanigoshi 2001";
  check_row({"pest.TETRUR.r.15c", "rate of increase at 15 °C (not fitted to)", source, "seen", From::published, 0.08, 0.008, "per day"},
            r(15.0));
  check_row({"pest.TETRUR.r.30c", "rate of increase at 30 °C (not fitted to)", source, "seen", From::published, 0.321, 0.032, "per day"},
            r(30.0));
}

TEST(PublishedOthers, mite_days) {
  const auto& d = dossier("two-spotted-spider-mite");
  const auto mite = [&](double t) { return days(d, "egg", "nymph-3", t); };
  check_row_between({"pest.TETRUR.total.15c", "females from egg to adult at 15 °C on two pears (fitted to their mean)",
                     "Egyptian pear study", "seen", From::published, 0, 0, "d"},
                    30.6, 34.0, mite(15.0));
  known_miss({"pest.TETRUR.linear.15c", "the same by 146.48 °C·d above 12.5 °C, which two warm temperatures gave", "Egyptian pear study",
              "seen", From::published, 32.3, 0.0, "d"},
             days_by(set_of(d, "egypt-26-30"), 15.0), 25.0, 28.0);
  known_miss({"pest.TETRUR.total.20c", "egg to adult at 20 °C, about 19–21 d (not fitted to)", "several life tables", "memory",
              From::memory, 20.0, 0.0, "d"},
             mite(20.0), -2.8, -1.8);
  check_row_between(
      {"pest.TETRUR.total.25c", "egg to adult at 25 °C (not fitted to)", "several life tables", "memory", From::memory, 0, 0, "d"}, 10.0,
      12.0, mite(25.0));
}

TEST(PublishedOthers, aphid_increase_and_generation) {
  const auto& d = dossier("green-peach-aphid");
  const auto r = [&](double t, double young) {
    return rate_of_increase(young, days(d, "nymph-1", "adult-new", t), days(d, "adult-laying", "adult-laying", t));
  };
  const std::string source = "life tables on cabbage";
  const double cool = r(17.0, d.laying.fecundity->value);
  check_row({"pest.MYZUPE.r.17c", "rate of increase at 17 °C with the young of 20 °C (not fitted to)", source, "seen", From::published,
             0.2157, 0.02, "per day"},
            cool);
  check_row(
      {"pest.MYZUPE.generation.17c", "time of a generation at 17 °C (not fitted to)", source, "seen", From::published, 18.0, 1.0, "d"},
      std::log(d.laying.fecundity->value) / cool);
  const double warm = r(29.0, figure(d, "net_reproduction_29c"));
  check_row({"pest.MYZUPE.r.29c", "rate of increase at 29 °C (fitted to)", source, "seen", From::published, 0.3212, 0.001, "per day"},
            warm);
  check_row({"pest.MYZUPE.generation.29c", "time of a generation at 29 °C (fitted to)", source, "seen", From::published, 10.2, 0.1, "d"},
            std::log(figure(d, "net_reproduction_29c")) / warm);
}

TEST(PublishedOthers, corn_borer_by_degree_days) {
  const auto& d = dossier("european-corn-borer");
  const auto heat = [&](const char* key) { return d.stages[*d.stage_index(key)].rate.linear()->constant.value.celsius_days(); };
  check_row({"pest.PYRUNU.hatch_to_third", "heat above 10 °C from hatching to the third instar (fitted to: its sum is kept)",
             "Iowa State University 1999", "seen", From::published, 125.0, 0.1, "°C·d"},
            heat("larva-1") + heat("larva-2"));
  check_row_between({"pest.PYRUNU.egg", "egg at 20 °C, published range without temperature (not fitted to)", "Capinera's handbook, a copy",
                     "seen-2nd", From::published, 0, 0, "d"},
                    4.0, 9.0, days(d, "egg", "egg", 20.0));
}

TEST(PublishedOthers, soldier_bug_days) {
  const auto* found = library().friend_named("spined-soldier-bug");
  ASSERT_NE(found, nullptr);
  const double published[][3] = {{19.0, 48.9, 2.0}, {30.0, 18.9, 0.4}};
  for (const auto& [t, expected, tolerance] : published)
    check_row({"friend.podisus." + std::to_string(static_cast<int>(t)) + "c", "egg to adult by thresholds and constants of the same study",
               "Canadian Entomologist, Podisus maculiventris", "seen", From::published, expected, tolerance, "d"},
              days(found->stages, "egg", "nymph-5", t));
}

}  // namespace
}  // namespace leafturn
