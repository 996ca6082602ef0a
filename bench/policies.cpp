// The same true gardens under leafturn's advice, a competent grower, spraying by the calendar, and nothing. Losses and hours are paired by
// garden; `loss_difference_hi` is the upper 97.5 % point of leafturn's mean loss less the competent grower's, as a share of the crop's
// value, by bootstrap over gardens.
#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <thread>

#include "bench/play/policies.hpp"
#include "bench/support/bench.hpp"
#include "io/dossier_toml.hpp"
#include "tests/gardens/draw.hpp"
#include "tests/gardens/seeds.hpp"

namespace {

using namespace leafturn;

constexpr std::size_t policies = 4;
using Seasons = std::vector<std::array<play::Season, policies>>;
constexpr int resamples = 2000;

Seasons play_all(const std::vector<gardens::Spec>& specs, const pest::Library& library) {
  Seasons seasons(specs.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < specs.size() * policies; i = next++)
      seasons[i / policies][i % policies] = play::play(specs[i / policies], static_cast<play::Policy>(i % policies), library);
  };
  std::thread other{work};
  work();
  other.join();
  return seasons;
}

double mean(const std::vector<double>& x) {
  double sum = 0.0;
  for (const double v : x) sum += v;
  return x.empty() ? 0.0 : sum / static_cast<double>(x.size());
}

// Mean of the worst tenth, one garden at least.
double worst_tenth(std::vector<double> x) {
  std::sort(x.begin(), x.end(), std::greater<>());
  x.resize(std::max<std::size_t>(1, x.size() / 10));
  return mean(x);
}

// Any figure of gardens picked anew.
template <class Figure>
std::vector<double> bootstrap(std::size_t gardens, const Figure& figure) {
  std::vector<double> values;
  leafturn::gardens::Draw draw{0xB007, gardens};
  std::vector<std::size_t> picked(gardens);
  for (int r = 0; r < resamples; ++r) {
    for (std::size_t& p : picked) p = static_cast<std::size_t>(draw.whole(0, static_cast<int>(gardens) - 1));
    values.push_back(figure(picked));
  }
  std::sort(values.begin(), values.end());
  return values;
}

double spread(const std::vector<double>& sorted) {
  const double m = mean(sorted);
  double squares = 0.0;
  for (const double v : sorted) squares += (v - m) * (v - m);
  return std::sqrt(squares / static_cast<double>(sorted.size()));
}
double point(const std::vector<double>& sorted, double p) {
  return sorted[static_cast<std::size_t>(p * static_cast<double>(sorted.size() - 1))];
}

std::vector<double> of(const Seasons& all, play::Policy policy, double (*figure)(const play::Season&)) {
  std::vector<double> out;
  for (const auto& one : all) out.push_back(figure(one[static_cast<std::size_t>(policy)]));
  return out;
}
double lost(const play::Season& s) { return s.lost_share(); }
double hours(const play::Season& s) { return s.hours; }
double sprays(const play::Season& s) { return s.sprays; }

std::vector<double> at(const std::vector<double>& x, const std::vector<std::size_t>& picked) {
  std::vector<double> out;
  for (const std::size_t p : picked) out.push_back(x[p]);
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  const bench::Options options = bench::read_options(argc, argv, "policies");
  const pest::Library library = io::built_in_library().value();
  // The committed seeds that may be looked at only once; any other seed gives fresh gardens, and 0 those that models may be made on.
  std::vector<gardens::Spec> specs = options.seed == 0   ? gardens::training()
                                     : options.seed == 1 ? gardens::held_out()
                                                         : gardens::seeds_from(0x600D0000ULL + 1000 * options.seed, 40);
  constexpr std::size_t quick_gardens = 18;
  if (options.quick) {
    if (options.seed == 1) specs = gardens::seeds_from(0x600D0000ULL, 40);
    specs.resize(quick_gardens);
  }
  const Seasons all = play_all(specs, library);
  const auto loss = of(all, play::Policy::leafturn, lost), loss_theirs = of(all, play::Policy::competent, lost);
  const auto time = of(all, play::Policy::leafturn, hours), time_theirs = of(all, play::Policy::competent, hours);
  const auto spray = of(all, play::Policy::leafturn, sprays), spray_theirs = of(all, play::Policy::competent, sprays);
  const std::size_t n = specs.size();
  const auto difference = bootstrap(n, [&](const auto& p) { return mean(at(loss, p)) - mean(at(loss_theirs, p)); });
  const auto worst = bootstrap(n, [&](const auto& p) { return worst_tenth(at(loss, p)) - worst_tenth(at(loss_theirs, p)); });
  const auto ratio = bootstrap(n, [&](const auto& p) { return mean(at(time, p)) / mean(at(time_theirs, p)); });
  const auto saved = bootstrap(n, [&](const auto& p) { return mean(at(spray_theirs, p)) - mean(at(spray, p)); });
  bench::Results results(options);
  results.figure("gardens", {static_cast<double>(n), 0.0});
  results.figure("loss_difference", {mean(loss) - mean(loss_theirs), spread(difference)});
  results.figure("loss_difference_hi", {point(difference, 0.975), spread(difference)});
  results.figure("worst_decile_difference", {worst_tenth(loss) - worst_tenth(loss_theirs), spread(worst)});
  results.figure("hours_ratio", {mean(time) / mean(time_theirs), spread(ratio)});
  results.figure("sprays_saved", {mean(spray_theirs) - mean(spray), spread(saved)});
  results.figure("sprays_saved_lo", {point(saved, 0.025), spread(saved)});
  double unlawful = 0.0;
  for (const auto& one : all) unlawful += one[static_cast<std::size_t>(play::Policy::leafturn)].unlawful;
  results.figure("unlawful", {unlawful, 0.0});
  for (std::size_t p = 0; p < policies; ++p) {
    const auto policy = static_cast<play::Policy>(p);
    const std::string name(play::name_of(policy));
    results.raw("lost_share_" + name, of(all, policy, lost));
    results.raw("hours_" + name, of(all, policy, hours));
    results.raw("sprays_" + name, of(all, policy, sprays));
    std::map<std::string, int> acts;
    for (const auto& one : all)
      for (const auto& [what, times] : one[p].acts) acts[what] += times;
    std::string text;
    for (const auto& [what, times] : acts) text += (text.empty() ? "" : ", ") + what + " " + std::to_string(times);
    results.note("acts_" + name, text);
  }
  return results.finish();
}
