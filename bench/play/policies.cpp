#include "bench/play/policies.hpp"

#include <algorithm>

#include "bench/play/advised.hpp"
#include "bench/play/grower.hpp"

namespace leafturn::play {

std::string_view name_of(Policy policy) {
  switch (policy) {
    case Policy::leafturn:
      return "leafturn";
    case Policy::competent:
      return "competent";
    case Policy::calendar:
      return "calendar";
    case Policy::nothing:
      return "nothing";
  }
  return "";
}

Season play(gardens::Spec spec, Policy policy, const pest::Library& all) {
  Played played{spec};
  pest::Library library = all;  // those pests only that live here: the rest would cost time and say nothing
  const auto here = played.garden.pests();
  std::erase_if(library.pests, [&](const pest::Dossier& d) {
    return std::none_of(here.begin(), here.end(), [&](const std::string& key) { return key == d.eppo || key == d.id; });
  });
  while (!played.garden.over()) {
    if (policy == Policy::leafturn) advised_morning(played, library);
    if (policy == Policy::competent) competent_morning(played, library);
    if (policy == Policy::calendar) calendar_morning(played);
    played.garden.advance_day();
  }
  const gardens::BedLedger sum = played.garden.totals();
  played.season.value = sum.value;
  played.season.lost_value = sum.lost_value;
  played.season.hours = sum.hours;
  played.season.sprays = sum.sprays;
  return played.season;
}

}  // namespace leafturn::play
