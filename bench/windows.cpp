/// Do hours and windows given a chance stay open that often? One real year of hourly readings (New York, 2013). On each day an ensemble is
/// made of the same station's hours after other days of about that time of year (spray::analogues), the days around left out, and held
/// against what came. The chances of a dressed forecast are not checked here: no archive of forecasts is at hand.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <vector>

#include "bench/support/bench.hpp"
#include "core/spray/members.hpp"
#include "core/spray/windows.hpp"
#include "io/weather_file.hpp"

namespace {

using namespace leafturn;

constexpr std::size_t bins = 10;
constexpr std::size_t ahead_hours = 72;
constexpr std::size_t block_days = 7;  // weather of one week hangs together
constexpr double about_70_low = 0.65, about_70_high = 0.75;
constexpr int rounds = 200;

/// Sums over what was told in one week, by what chance was told: ten bins, and those about 70 % by themselves.
struct Sums {
  double n = 0.0, chance = 0.0, happened = 0.0, squares = 0.0;
  void add(double p, bool came) {
    n += 1.0;
    chance += p;
    happened += came ? 1.0 : 0.0;
    squares += (p - (came ? 1.0 : 0.0)) * (p - (came ? 1.0 : 0.0));
  }
  void add(const Sums& other) {
    n += other.n;
    chance += other.chance;
    happened += other.happened;
    squares += other.squares;
  }
};
struct Week {
  std::array<Sums, bins> bin;
  Sums about_70;
};

/// One kind of thing told: `open` hours, hours `fit` with care, and the same two hours running.
class Told {
 public:
  explicit Told(std::size_t weeks) : weeks_(weeks) {}
  void add(std::size_t week, double chance, bool came) {
    weeks_[week].bin[std::min(bins - 1, static_cast<std::size_t>(chance * bins))].add(chance, came);
    if (chance >= about_70_low && chance < about_70_high) weeks_[week].about_70.add(chance, came);
  }
  void report(bench::Results& results, const std::string& name, std::uint64_t seed) const {
    const auto gap = [](const Week& all) {
      double off = 0.0, n = 0.0;
      for (const Sums& b : all.bin) off += std::abs(b.chance - b.happened), n += b.n;
      return off / n;
    };
    const auto skill = [](const Week& all) {
      Sums sum;
      for (const Sums& b : all.bin) sum.add(b);
      const double base = sum.happened / sum.n;
      return 1.0 - sum.squares / (sum.n * base * (1.0 - base));
    };
    const auto about_70 = [](const Week& all) { return all.about_70.n > 0.0 ? all.about_70.happened / all.about_70.n : 0.0; };
    results.figure(name + "_gap", estimated(gap, seed));
    results.figure(name + "_brier_skill", estimated(skill, seed));
    const Week all = sum({});
    // A share of a handful says nothing.
    if (all.about_70.n >= 100.0) results.figure(name + "_told_70", estimated(about_70, seed));
    std::vector<double> n, chance, came, error;
    for (std::size_t b = 0; b < bins; ++b) {
      const Sums& got = all.bin[b];
      n.push_back(got.n);
      chance.push_back(got.n > 0.0 ? got.chance / got.n : 0.0);
      came.push_back(got.n > 0.0 ? got.happened / got.n : 0.0);
      error.push_back(
          estimated([b](const Week& w) { return w.bin[b].n > 0.0 ? w.bin[b].happened / w.bin[b].n : 0.0; }, seed).standard_error);
    }
    results.raw(name + "_in_bin", n);
    results.raw(name + "_mean_chance", chance);
    results.raw(name + "_share", came);
    results.raw(name + "_share_standard_error", error);
    results.raw(name + "_told_70_in_bin", {all.about_70.n});
  }

 private:
  Week sum(const std::vector<std::size_t>& drawn) const {
    Week all;
    const auto add = [&](const Week& week) {
      for (std::size_t b = 0; b < bins; ++b) all.bin[b].add(week.bin[b]);
      all.about_70.add(week.about_70);
    };
    for (const std::size_t w : drawn) add(weeks_[w]);
    if (drawn.empty()) std::for_each(weeks_.begin(), weeks_.end(), add);
    return all;
  }
  // Weeks drawn with replacement.
  template <class Figure>
  bench::Estimate estimated(const Figure& figure, std::uint64_t seed) const {
    std::mt19937_64 random{seed};
    std::uniform_int_distribution<std::size_t> one(0, weeks_.size() - 1);
    double total = 0.0, squares = 0.0;
    for (int r = 0; r < rounds; ++r) {
      std::vector<std::size_t> drawn(weeks_.size());
      for (std::size_t& w : drawn) w = one(random);
      const double got = figure(sum(drawn));
      total += got;
      squares += got * got;
    }
    const double mean = total / rounds;
    return {figure(sum({})), std::sqrt(std::max(0.0, squares / rounds - mean * mean))};
  }
  std::vector<Week> weeks_;
};

using spray::HourState;

struct Kinds {
  Told open_hours, fit_hours, open_windows, fit_windows;
};

bool is_open(HourState state) { return state == HourState::open; }
bool is_fit(HourState state) { return state == HourState::open || state == HourState::care; }

void add_day(const weather::HourlyReadings& year, Instant issued, std::size_t week, const weather::Site& site,
             const spray::SprayLimits& limits, Kinds& kinds) {
  spray::Around around;
  around.in_flower = false;
  around.drought = false;
  const auto members = spray::analogues({.record = &year, .issued = issued, .hours = ahead_hours, .most = 40, .anywhere = true});
  if (members.size() < 10) return;
  const auto sky = spray::sky_of(issued, ahead_hours, site);
  const auto states = [&](const weather::HourlyReadings& told) {
    std::vector<HourState> out;
    for (std::size_t h = 0; h < ahead_hours; ++h)
      out.push_back(spray::hour_found(told, issued + Duration::hours(static_cast<std::int64_t>(h)), sky[h], limits, around).state);
    return out;
  };
  const auto came = states(year);
  std::vector<std::vector<HourState>> may;
  for (const auto& member : members) may.push_back(states(member));
  const auto chance = [&](std::size_t h, std::size_t length, bool (*good)(HourState)) {
    double n = 0.0;
    for (const auto& member : may) {
      bool all = true;
      for (std::size_t k = 0; k < length; ++k) all = all && good(member[h + k]);
      n += all ? 1.0 : 0.0;
    }
    return n / static_cast<double>(may.size());
  };
  const auto known = [&](std::size_t h) { return came[h] != HourState::unknown; };
  for (std::size_t h = 0; h < ahead_hours; ++h) {
    if (!known(h)) continue;
    kinds.open_hours.add(week, chance(h, 1, is_open), is_open(came[h]));
    kinds.fit_hours.add(week, chance(h, 1, is_fit), is_fit(came[h]));
    // Two hours running, as a job is planned; pairs that share an hour would count one sky twice.
    if (h % 2 != 0 || h + 1 == ahead_hours || !known(h + 1)) continue;
    kinds.open_windows.add(week, chance(h, 2, is_open), is_open(came[h]) && is_open(came[h + 1]));
    kinds.fit_windows.add(week, chance(h, 2, is_fit), is_fit(came[h]) && is_fit(came[h + 1]));
  }
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "windows");
  const auto path = std::filesystem::path(LEAFTURN_SOURCE_DIR).parent_path() / "shared/data/nyc-hourly-2013.csv";
  std::ifstream in(path, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  io::WeatherReading reading;
  reading.units = io::UnitsChoice::us;
  const auto file = io::read_weather(bytes, "nyc-hourly-2013.csv", reading);
  if (!file || !file->hourly) {
    std::fputs("windows: the hourly year of New York is absent here (shared/data/nyc-hourly-2013.csv beside the repository)\n", stderr);
    return 2;
  }
  const weather::HourlyReadings& year = *file->hourly;
  const weather::Site site{Angle::degrees(40.8), Angle::degrees(-73.9), Length{}};
  const Instant first = *Instant::parse("2013-01-03T11:00Z");
  const std::size_t days = 358, step = options.quick ? 2 : 1;
  const Told none(days / block_days + 1);
  Kinds kinds{none, none, none, none};
  for (std::size_t d = options.quick ? options.seed % 2 : 0; d < days; d += step) {
    const Instant issued = first + Duration::hours(static_cast<std::int64_t>(24 * d));
    // An oil and a soap keep to the same bounds where no label speaks.
    for (const auto& limits : {spray::usual_limits(spray::Works::oil, true), spray::usual_limits(spray::Works::contact)})
      add_day(year, issued, d / block_days, site, limits, kinds);
  }
  bench::Results results(options);
  kinds.open_hours.report(results, "open_hours", options.seed);
  kinds.fit_hours.report(results, "fit_hours", options.seed + 1);
  kinds.open_windows.report(results, "open_windows", options.seed + 2);
  kinds.fit_windows.report(results, "fit_windows", options.seed + 3);
  results.raw("days", {static_cast<double>((days + step - 1) / step)});
  results.note("of", "New York, 2013: one year, so the analogues are days of the same year, five days and more away");
  return results.finish();
}
