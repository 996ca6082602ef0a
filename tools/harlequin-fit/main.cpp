// harlequin-fit                                  the fit, as in docs/fits/harlequin-bug.md
// harlequin-fit WEATHER LAT LON FROM TO SETS     how many generations SETS of the kept sets give at a station

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>

#include "io/dossier_toml.hpp"
#include "io/weather_csv.hpp"
#include "tools/harlequin-fit/fit.hpp"
#include "tools/harlequin-fit/generations.hpp"

namespace {

using namespace leafturn;

int fail(const char* what, const Error& error) {
  std::fprintf(stderr, "harlequin-fit: %s: %s (%s)\n", what, error.code.c_str(), error.where.file.c_str());
  return 2;
}

int generations(char** arguments) {
  std::ifstream in(arguments[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  const auto file = io::read_weather_csv(bytes, arguments[1], io::UnitsChoice::us);
  if (!file) return fail("weather", file.error());
  const auto library = io::built_in_library();
  if (!library) return fail("dossiers", library.error());
  const weather::Site site{Angle::degrees(std::atof(arguments[2])), Angle::degrees(std::atof(arguments[3])), Length{}};
  const auto air = weather::hourly(weather::fill_gaps(file->series), site);
  auto kept = fit::run(fit::draws, fit::seed).kept;
  const auto sets = static_cast<std::size_t>(std::atoi(arguments[6]));
  if (kept.size() > sets) kept.resize(sets);
  const int from = std::atoi(arguments[4]);
  const int to = std::atoi(arguments[5]);
  const auto count = fit::count_generations(*library->pest("harlequin-bug"), kept, air, site, from, to);
  std::fputs(fit::report(count, from, to).c_str(), stdout);
  return 0;
}

}  // namespace

int main(int count, char** arguments) {
  if (count == 7) return generations(arguments);
  if (count == 1) {
    std::fputs(fit::report(fit::run(fit::draws, fit::seed)).c_str(), stdout);
    return 0;
  }
  std::fputs("harlequin-fit: give nothing for the fit, or WEATHER LAT LON FROM TO SETS\n", stderr);
  return 2;
}
