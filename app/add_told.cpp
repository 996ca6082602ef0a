#include "app/add_told.hpp"

#include <algorithm>

namespace leafturn::app {
namespace {

label::BloomLook::Seen seen(garden::Flowers flowers) {
  using Seen = label::BloomLook::Seen;
  switch (flowers) {
    case garden::Flowers::none:
      return Seen::none;
    case garden::Flowers::open:
      return Seen::open;
    case garden::Flowers::open_cucurbit:
      return Seen::open_cucurbit;
  }
  return Seen::not_looked;
}

}  // namespace

void add_told(label::Proposal& proposal, const garden::Told& told, const std::string& place, const CivilTime& looked) {
  proposal.method = told.method;
  proposal.handler = told.handler;
  // What the garden and the bed say of themselves is not talked away with a question: of two words the one that asks more holds.
  proposal.produce = std::max(told.produce, proposal.produce);
  proposal.organic = std::max(told.organic, proposal.organic);
  proposal.enclosed = std::max(told.enclosed, proposal.enclosed);
  proposal.nearest_person = told.nearest_person;
  proposal.release_height = told.release_height;
  proposal.droplets = told.droplets;
  proposal.water = told.water;
  if (told.flowers) proposal.bloom = std::vector<label::BloomLook>{{seen(*told.flowers), place, looked}};
}

std::string pest_code(const pest::Library& library, const std::string& pest) {
  const auto* dossier = library.pest(pest);
  return dossier == nullptr || dossier->eppo.empty() ? pest : dossier->eppo;
}

}  // namespace leafturn::app
