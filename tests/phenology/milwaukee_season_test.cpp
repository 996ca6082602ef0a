// The built-in dossiers through one real season: do the calendars look like what is published for such places?

#include <gtest/gtest.h>

#include <string>

#include "core/phenology/cohort.hpp"
#include "io/dossier_toml.hpp"
#include "io/weather_csv.hpp"
#include "tests/support/check_rows.hpp"
#include "tests/support/data.hpp"

namespace leafturn::phenology {
namespace {

std::optional<Season> milwaukee_2025(const std::string& pest) {
  const auto path = test::shared_data("milwaukee-daily-1991-2026.csv");
  if (!path) return std::nullopt;
  const auto file = io::read_weather_csv(test::read_file(*path), "milwaukee", io::UnitsChoice::us);
  if (!file) return std::nullopt;
  const auto library = io::built_in_library();
  if (!library || library->pest(pest) == nullptr) return std::nullopt;
  const weather::Site site{Angle::degrees(43.0), Angle::degrees(-87.9), Length::metres(205)};
  const auto air = weather::hourly(weather::fill_gaps(file->series), site);
  SeasonRequest request;
  request.dossier = library->pest(pest);
  request.air = &air;
  request.site = site;
  request.year = 2025;
  return season(request);
}

// Generations of which at least `share` of the unit was laid.
int generations_laid(const Season& s, double share) {
  int count = 0;
  for (const Generation& g : s.generations) count += g.laid_share >= share ? 1 : 0;
  return count;
}

TEST(MilwaukeeSeason, PotatoBeetleHasTwoGenerationsTheSecondPartial) {
  const auto s = milwaukee_2025("colorado-potato-beetle");
  LEAFTURN_SKIP_WITHOUT(s, "the Milwaukee station's record (NOAA GHCN-Daily)");
  test::check_row({"season.milwaukee.potato-beetle.generations", "generations with at least a tenth laid, Milwaukee 2025",
                   "University of Wisconsin-Madison vegetable entomology: 2 generations in southern Wisconsin", "seen",
                   test::From::published, 2, 0.0, ""},
                  generations_laid(*s, 0.1));
  ASSERT_GE(s->generations.size(), 2u);
  EXPECT_GT(s->generations[0].complete_share, 0.95);
  EXPECT_LT(s->generations[1].complete_share, 0.9);
  EXPECT_GT(s->generations[0].resting_share, 0.2);
}

TEST(MilwaukeeSeason, CabbagewormHasThreeGenerationsTheThirdMostlyAtRest) {
  const auto s = milwaukee_2025("imported-cabbageworm");
  LEAFTURN_SKIP_WITHOUT(s, "the Milwaukee station's record (NOAA GHCN-Daily)");
  test::check_row_between(
      {"season.milwaukee.cabbageworm.generations", "generations with at least half laid, Milwaukee 2025",
       "2 and a partial third in Britain (field guides); 3-5: Pacific Northwest Insect Management Handbook, imported cabbageworm", "seen",
       test::From::published, 0, 0, ""},
      2, 5, generations_laid(*s, 0.5));
  ASSERT_GE(s->generations.size(), 3u);
  EXPECT_GT(s->generations[1].complete_share, 0.9);
  EXPECT_GT(s->generations[2].resting_share, 0.5);
}

}  // namespace
}  // namespace leafturn::phenology
