#include "app/add_told.hpp"

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
  if (told.produce) proposal.produce = told.produce;
  if (told.organic) proposal.organic = told.organic;
  if (told.enclosed) proposal.enclosed = told.enclosed;
  proposal.nearest_person = told.nearest_person;
  proposal.release_height = told.release_height;
  proposal.droplets = told.droplets;
  proposal.water = told.water;
  if (told.flowers) proposal.bloom = std::vector<label::BloomLook>{{seen(*told.flowers), place, looked}};
}

}  // namespace leafturn::app
