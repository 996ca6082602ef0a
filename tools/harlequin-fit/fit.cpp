#include "tools/harlequin-fit/fit.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/base/elementary.hpp"
#include "core/base/random.hpp"

namespace leafturn::fit {
namespace {

double between(const std::array<double, 2>& range, double u) { return range[0] + (range[1] - range[0]) * u; }
double log_between(const std::array<double, 2>& range, double u) { return range[0] * num::exp(u * num::log(range[1] / range[0])); }

// Draws what facts [from, to) meant, and says whether the set comes near each of them. Stops at the first miss: most draws end early.
bool near(Set& set, num::Draws& random, std::size_t from, std::size_t to) {
  for (std::size_t f = from; f < to; ++f) {
    set.temperature[f] = between({facts[f].from_c, facts[f].to_c}, random.uniform());
    const double got = days(set, facts[f].of, set.temperature[f]);
    if (!(got > facts[f].days / near_factor && got < facts[f].days * near_factor)) return false;
  }
  return true;
}

// One decimal, as the document has them.
std::string one(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.1f", value);
  return text;
}
std::string whole(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.0f", value);
  return text;
}
std::string signed_one(double value) { return (value < 0.0 ? "−" : "+") + one(std::abs(value)); }

double lower_of(const Set& s) { return s.lower_c; }
double egg_of(const Set& s) { return s.egg; }
double total_of(const Set& s) { return s.egg_to_adult; }
double before_of(const Set& s) { return s.before_laying; }

std::string parameter_row(const std::string& name, const std::string& unit, const std::vector<Set>& kept, double (*of)(const Set&)) {
  return "| " + name + " | " + unit + " | " + one(quantile(kept, 0.5, of)) + " | " + one(quantile(kept, 0.05, of)) + " | " +
         one(quantile(kept, 0.95, of)) + " |\n";
}

}  // namespace

double days(const Set& set, Fact::Of of, double temperature_c) {
  const double constant = of == Fact::Of::egg ? set.egg : of == Fact::Of::egg_to_adult ? set.egg_to_adult : set.before_laying;
  const double heat_a_day = temperature_c - set.lower_c;
  return heat_a_day > 0.0 ? constant / heat_a_day : -1.0;
}

Fitted run(std::int64_t number, std::uint64_t from_seed) {
  Fitted out;
  out.number = number;
  for (std::int64_t i = 0; i < number; ++i) {
    num::Draws random({.seed = from_seed, .member = static_cast<std::uint32_t>(i), .use = num::Use::fit});
    Set set;
    set.lower_c = between(prior_lower_c, random.uniform());
    set.egg = log_between(prior_egg, random.uniform());
    if (!near(set, random, 0, 4)) continue;
    set.egg_to_adult = log_between(prior_total, random.uniform());
    if (!near(set, random, 4, 6)) continue;
    set.before_laying = log_between(prior_before_laying, random.uniform());
    if (near(set, random, 6, facts.size()) && set.egg < set.egg_to_adult) out.kept.push_back(set);
  }
  return out;
}

double quantile(const std::vector<Set>& kept, double share, double (*of)(const Set&)) {
  std::vector<double> values;
  for (const Set& s : kept) values.push_back(of(s));
  std::sort(values.begin(), values.end());
  if (values.empty()) return 0.0;
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

std::string report(const Fitted& fitted) {
  const auto& kept = fitted.kept;
  char share[40];
  std::snprintf(share, sizeof share, "%.4f", 100.0 * static_cast<double>(kept.size()) / static_cast<double>(fitted.number));
  std::string out = "Draws: " + std::to_string(fitted.number) + ". Kept: " + std::to_string(kept.size()) + " (" + share + " %).\n\n";
  out += "| figure | unit | median | 5 % | 95 % |\n|---|---|--:|--:|--:|\n";
  out += parameter_row("lower threshold", "°C", kept, lower_of);
  out += parameter_row("egg", "°C·d", kept, egg_of);
  out += parameter_row("egg to adult", "°C·d", kept, total_of);
  out += parameter_row("from appearing to laying", "°C·d", kept, before_of);
  out +=
      "\n| fact | days | read as °C | meant °C (median, 5–95 %) | days of the medians, mid-range °C | residual | kept draws (5–95 %) |\n";
  out += "|---|--:|---|---|--:|--:|---|\n";
  Set middle;
  middle.lower_c = quantile(kept, 0.5, lower_of);
  middle.egg = quantile(kept, 0.5, egg_of);
  middle.egg_to_adult = quantile(kept, 0.5, total_of);
  middle.before_laying = quantile(kept, 0.5, before_of);
  for (std::size_t f = 0; f < facts.size(); ++f) {
    std::vector<double> meant;
    std::vector<double> predicted;
    for (const Set& s : kept) {
      meant.push_back(s.temperature[f]);
      predicted.push_back(days(s, facts[f].of, s.temperature[f]));
    }
    std::sort(meant.begin(), meant.end());
    std::sort(predicted.begin(), predicted.end());
    const auto at = [](const std::vector<double>& v, double part) {
      return v.empty() ? 0.0 : v[static_cast<std::size_t>(part * static_cast<double>(v.size() - 1) + 0.5)];
    };
    const double mid = days(middle, facts[f].of, 0.5 * (facts[f].from_c + facts[f].to_c));
    out += "| " + std::string(facts[f].words) + " | " + whole(facts[f].days) + " | " + whole(facts[f].from_c) + "–" + whole(facts[f].to_c) +
           " | " + one(at(meant, 0.5)) + " (" + one(at(meant, 0.05)) + "–" + one(at(meant, 0.95)) + ") | " + one(mid) + " | " +
           signed_one(mid - facts[f].days) + " | " + one(at(predicted, 0.05)) + "–" + one(at(predicted, 0.95)) + " |\n";
  }
  return out;
}

}  // namespace leafturn::fit
