#include "core/spray/limits.hpp"

#include <algorithm>
#include <array>

namespace leafturn::spray {
namespace {

using pest::Known;

constexpr std::array oils{std::string_view("mineral-oil"), std::string_view("neem-oil")};
// Taken up by the leaf: neonicotinoids, the tetramic acid and the diamide (spray-practice.md 5.1, penetration, seen S83 for the first and
// last; the tetramic acid from memory).
constexpr std::array taken_up{std::string_view("imidacloprid"), std::string_view("acetamiprid"), std::string_view("spirotetramat"),
                              std::string_view("chlorantraniliprole")};

template <class Q>
Bound<Q> usual(Q value, const char* citation, Known known) {
  return {value, false, known, citation};
}
template <class Q>
Bound<Q> of_label(Q value) {
  return {value, true, Known::seen, ""};
}

bool is_one_of(std::string_view id, const auto& list) { return std::find(list.begin(), list.end(), id) != list.end(); }

// The share told for the active that rain takes most of.
std::optional<pest::Sourced<double>> worst_wash_off(const label::Card& card, const pest::Library& library) {
  std::optional<pest::Sourced<double>> worst;
  for (const label::Active& named : card.actives) {
    const pest::Active* active = library.active_named(named.name);
    if (active != nullptr && active->wash_off && (!worst || active->wash_off->value > worst->value)) worst = active->wash_off;
  }
  return worst;
}

bool nothing_once_dry(const label::Card& card, const pest::Library& library) {
  return !card.actives.empty() && std::all_of(card.actives.begin(), card.actives.end(), [&](const label::Active& named) {
    const pest::Active* active = library.active_named(named.name);
    return active != nullptr && active->contact_only && active->contact_only->value;
  });
}

}  // namespace

std::string_view word_for(Works works) {
  switch (works) {
    case Works::oil:
      return "oil";
    case Works::soap:
      return "soap";
    case Works::contact:
      return "contact";
    case Works::systemic:
      break;
  }
  return "systemic";
}

SprayLimits usual_limits(Works works, bool contact_only) {
  SprayLimits out;
  out.works = works;
  out.contact_only = contact_only;
  out.wind_least = usual(Speed::miles_per_hour(3.0), "Pesticide Environmental Stewardship, weather", Known::seen);
  out.wind_most = usual(Speed::miles_per_hour(8.0), "Pesticide Environmental Stewardship, weather", Known::seen);
  out.temperature_most = usual(Temperature::fahrenheit(85.0), "Nebraska Extension column (S. Browning)", Known::seen);
  if (works == Works::oil || works == Works::soap) {
    constexpr const char* washington = "Washington State University Extension, horticultural spray oil damage (2013, 2022)";
    out.temperature_least = usual(Temperature::fahrenheit(50.0), washington, Known::seen);
    out.temperature_most = usual(Temperature::fahrenheit(85.0), washington, Known::seen);
  }
  out.rainfast_hours = contact_only ? usual(4.0, "general works on insecticides", Known::memory)
                                    : usual(24.0, "article on rainfastness with an author of OMAFRA", Known::seen);
  return out;
}

Works works_of(const label::Card& card, const pest::Library& library) {
  Works found = Works::systemic;
  bool any = false;
  const auto rank = [](Works w) { return static_cast<int>(w); };  // what minds the weather most comes first
  for (const label::Active& named : card.actives) {
    const pest::Active* active = library.active_named(named.name);
    Works works = Works::contact;
    if (active != nullptr && is_one_of(active->id, oils)) works = Works::oil;
    if (active != nullptr && active->id == "soap") works = Works::soap;
    if (active != nullptr && is_one_of(active->id, taken_up)) works = Works::systemic;
    if (!any || rank(works) < rank(found)) found = works;
    any = true;
  }
  return any ? found : Works::contact;
}

SprayLimits limits_of(const label::Card& card, const pest::Library& library) {
  SprayLimits out = usual_limits(works_of(card, library), nothing_once_dry(card, library));
  out.wash_off = worst_wash_off(card, library);
  const label::Conditions& said = card.conditions;
  if (const auto* v = said.wind_min.value()) out.wind_least = of_label(*v);
  if (const auto* v = said.wind_max.value()) out.wind_most = of_label(*v);
  if (const auto* v = said.temp_max.value()) out.temperature_most = of_label(*v);
  if (const auto* v = said.temp_min.value()) out.temperature_least = of_label(*v);
  if (const auto* v = said.humidity_min.value()) out.humidity_least = of_label(*v);
  if (const auto* v = said.rainfast_hours.value()) out.rainfast_hours = of_label(*v);
  if (const auto* v = said.inversion_ban.value()) out.inversion_ban = *v;
  if (said.bees.says_none()) out.bees = BeeLine::none_stated;
  if (const auto* bees = said.bees.value()) {
    if (*bees == label::Bees::foraging || *bees == label::Bees::actively_visiting) out.bees = BeeLine::not_while_foraging;
    // What was copied in words of its own can't be judged: it stays as if not copied.
    if (*bees == label::Bees::visiting || *bees == label::Bees::open_flowers) out.bees = BeeLine::not_on_open_flowers;
  }
  return out;
}

}  // namespace leafturn::spray
