#pragma once
/// Fits the harlequin bug's lower threshold and heat constants to the few durations that are known, by rejection: draw everything from wide
/// priors, the temperatures meant by words like 'cool' among them, and keep the draws that come near every fact.
/// docs/fits/harlequin-bug.md.

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace leafturn::fit {

/// A duration with the range of mean temperatures that its words are taken to mean.
struct Fact {
  const char* words;
  const char* source;
  double days;
  double from_c, to_c;
  enum class Of { egg, egg_to_adult, before_laying } of;
};

inline constexpr std::array<Fact, 7> facts{{
    {"eggs hatch in about 20 d at cool early-spring temperatures", "common practice, no source", 20.0, 11.0, 16.0, Fact::Of::egg},
    {"eggs hatch in about 5 d at high-summer temperatures", "common practice, no source", 5.0, 26.0, 32.0, Fact::Of::egg},
    {"egg 29 d, cool", "fact sheets repeating older bulletins, seen-2nd", 29.0, 10.0, 15.0, Fact::Of::egg},
    {"egg 4 d, warm", "fact sheets repeating older bulletins, seen-2nd", 4.0, 27.0, 33.0, Fact::Of::egg},
    {"egg to adult 50 d, the slow end", "Canerday 1965 as cited in Guide H-259, seen-2nd", 50.0, 18.0, 24.0, Fact::Of::egg_to_adult},
    {"egg to adult 30 d, the quick end", "Canerday 1965 as cited in Guide H-259, seen-2nd", 30.0, 25.0, 31.0, Fact::Of::egg_to_adult},
    {"females lay about two weeks after they appear in spring", "common practice, no source", 14.0, 12.0, 18.0, Fact::Of::before_laying},
}};

/// Kept when every predicted duration is within this factor of its fact, either way: what 'about' is taken to mean.
inline constexpr double near_factor = 1.25;

/// Uniform in the threshold, uniform in the logarithm of the constants: no scale is favoured.
inline constexpr std::array<double, 2> prior_lower_c{2.0, 16.0};
inline constexpr std::array<double, 2> prior_egg{30.0, 400.0};
inline constexpr std::array<double, 2> prior_total{200.0, 2000.0};
inline constexpr std::array<double, 2> prior_before_laying{10.0, 500.0};

/// One kept draw; heat in °C·d above `lower_c`.
struct Set {
  double lower_c = 0.0, egg = 0.0, egg_to_adult = 0.0, before_laying = 0.0;
  std::array<double, facts.size()> temperature{};  ///< what each fact's words meant in this draw, °C
};

/// Days at a constant temperature; negative where it doesn't develop.
double days(const Set& set, Fact::Of of, double temperature_c);

/// What the document was made with.
inline constexpr std::int64_t draws = 20'000'000;
inline constexpr std::uint64_t seed = 1;

struct Fitted {
  std::int64_t number = 0;
  std::vector<Set> kept;
};
Fitted run(std::int64_t number, std::uint64_t from_seed);

/// The value below which `share` of the kept draws lie.
double quantile(const std::vector<Set>& kept, double share, double (*of)(const Set&));

/// What docs/fits/harlequin-bug.md holds, line for line.
std::string report(const Fitted& fitted);

}  // namespace leafturn::fit
