// Whole seasons of the training gardens, untreated: a table of peaks, and bounds a field entomologist would set from reports (common
// practice and memory, no single source): neither deserts nor more than plants can carry.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "tests/gardens/seeds.hpp"

namespace leafturn::gardens {
namespace {

struct Report {
  const char* pest;
  const char* stage;
  double median_low, median_high;  ///< peak per plant in the worst bed
  double most;                     ///< never above
};
const std::vector<Report> reports{{"PIERRA", "larva", 0.2, 5.0, 60.0},       {"PLUTMA", "larva", 0.3, 8.0, 60.0},
                                  {"MURGHI", "nymph", 0.1, 8.0, 60.0},       {"MURGHI", "adult", 0.03, 3.0, 20.0},
                                  {"LPTNDE", "larva", 0.5, 25.0, 100.0},     {"squash-bug", "nymph", 0.1, 10.0, 80.0},
                                  {"EPILVA", "larva", 0.05, 10.0, 80.0},     {"striped-cucumber-beetle", "adult", 0.1, 5.0, 40.0},
                                  {"BRVCBR", "feeding", 10.0, 400.0, 900.0}, {"MYZUPE", "feeding", 2.0, 300.0, 800.0},
                                  {"TETRUR", "feeding", 5.0, 500.0, 1500.0}};

double quantile(std::vector<double> values, double p) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(p * static_cast<double>(values.size() - 1) + 0.5)];
}

TEST(Seasons, peaks_look_like_reports_from_the_field) {
  std::map<std::string, std::vector<double>> peaks;
  std::map<Kind, std::vector<double>> losses;
  for (const Spec spec : training()) {
    Garden garden = make(spec);
    std::map<std::string, double> peak;
    while (!garden.over()) {
      garden.advance_day();
      if (garden.today() % 4 != 0) continue;
      for (const Report& report : reports)
        for (const auto& pest : garden.pests()) {
          if (pest != report.pest) continue;
          double& most = peak[pest + " " + report.stage];
          for (int b = 0; b < garden.beds(); ++b)
            if (garden.is_host(b, pest))
              most = std::max(most, static_cast<double>(garden.truth(b, pest, report.stage)) / garden.plants_in(b));
        }
    }
    for (const auto& [what, value] : peak) peaks[what].push_back(value);
    losses[spec.kind].push_back(garden.totals().lost_value / garden.totals().value);
  }
  std::printf("%-32s %8s %8s %8s %8s %8s   peak per plant, worst bed\n", "pest stage", "gardens", "10 %", "median", "90 %", "most");
  for (const Report& report : reports) {
    const std::string what = std::string(report.pest) + " " + report.stage;
    const auto& values = peaks[what];
    ASSERT_GE(values.size(), 6U) << what;
    std::printf("%-32s %8zu %8.2f %8.2f %8.2f %8.2f\n", what.c_str(), values.size(), quantile(values, 0.1), quantile(values, 0.5),
                quantile(values, 0.9), quantile(values, 1.0));
    EXPECT_GE(quantile(values, 0.5), report.median_low) << what;
    EXPECT_LE(quantile(values, 0.5), report.median_high) << what;
    EXPECT_LE(quantile(values, 1.0), report.most) << what;
    // Some nearly clean, some overrun.
    EXPECT_GT(quantile(values, 0.9), 2.0 * quantile(values, 0.1)) << what;
  }
  for (const auto& [kind, values] : losses) {
    std::printf("%-32s loss of value untreated: median %.3f, 90 %% %.3f\n", std::string(name_of(kind)).c_str(), quantile(values, 0.5),
                quantile(values, 0.9));
    EXPECT_GT(quantile(values, 0.9), 0.08);
    EXPECT_LT(quantile(values, 0.5), 0.3);
  }
}

// Clumped beyond chance, as counts of insects are: s² above the mean in nearly all well-filled beds.
TEST(Seasons, counts_are_clumped) {
  int beds = 0, clumped = 0;
  for (const Spec spec : seeds_from(8000, 12)) {
    Garden garden = make(spec);
    garden.run_until(200);
    for (const auto& pest : garden.pests())
      for (int b = 0; b < garden.beds(); ++b) {
        const auto on = garden.truth_on_plants(b, pest, "feeding");
        double sum = 0.0, squares = 0.0;
        for (const int n : on) {
          sum += n;
          squares += static_cast<double>(n) * n;
        }
        const double n = static_cast<double>(on.size()), mean = n > 0 ? sum / n : 0.0;
        if (n < 20 || mean < 1.0) continue;
        ++beds;
        clumped += (squares / n - mean * mean) > 1.2 * mean;
      }
  }
  ASSERT_GT(beds, 15);
  EXPECT_GT(clumped, 9 * beds / 10);
}

TEST(Seasons, training_and_held_out_share_no_garden) {
  std::map<std::uint64_t, int> seen;
  for (const Spec spec : training()) ++seen[spec.seed];
  for (const Spec spec : held_out()) ++seen[spec.seed];
  EXPECT_EQ(seen.size(), training().size() + held_out().size());
  std::map<Kind, int> forms;
  for (const Spec spec : held_out()) ++forms[spec.kind];
  for (const Kind kind : {Kind::walkers, Kind::pulses, Kind::patches}) EXPECT_GE(forms[kind], 80);
}

}  // namespace
}  // namespace leafturn::gardens
