#include "core/spray/tank.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "core/base/elementary.hpp"

namespace leafturn::spray {

std::optional<Step> mixing_step(std::string_view formulation) {
  constexpr std::array<std::pair<std::string_view, Step>, 16> steps{{{"WP", Step::powder},
                                                                     {"WG", Step::powder},
                                                                     {"WDG", Step::powder},
                                                                     {"DF", Step::powder},
                                                                     {"SP", Step::powder},
                                                                     {"SG", Step::powder},
                                                                     {"SC", Step::flowable},
                                                                     {"F", Step::flowable},
                                                                     {"L", Step::flowable},
                                                                     {"CS", Step::flowable},
                                                                     {"EC", Step::emulsion},
                                                                     {"EW", Step::emulsion},
                                                                     {"OIL", Step::emulsion},
                                                                     {"SL", Step::solution},
                                                                     {"S", Step::solution},
                                                                     {"SOAP", Step::solution}}};
  std::string upper(formulation);
  for (char& c : upper)
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  for (const auto& [word, step] : steps)
    if (word == upper) return step;
  return std::nullopt;
}

std::string_view word_for(Step step) {
  constexpr std::array<std::string_view, 5> words{"buffer", "powder", "flowable", "emulsion", "solution"};
  return words[static_cast<std::size_t>(step)];
}

const pest::Active::InWater* in_water(const pest::Active& active, double ph) {
  const auto found = std::find_if(active.in_water.begin(), active.in_water.end(), [&](const auto& one) { return one.ph >= ph - 1e-9; });
  return found == active.in_water.end() ? nullptr : &*found;
}

double left_in_tank(double hours, double half_life_hours) { return num::exp(-num::log(2.0) * hours / half_life_hours); }

}  // namespace leafturn::spray
