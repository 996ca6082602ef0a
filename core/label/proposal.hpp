#pragma once
/// What is asked of a card: an application that somebody proposes, with everything known around it. Whatever is absent was not given; a
/// rule that needs it says so, and only where the card speaks of it.

#include <optional>
#include <string>
#include <vector>

#include "core/label/card.hpp"

namespace leafturn::label {

/// A time that may be known only to the day.
struct Moment {
  CivilTime time;
  bool day_only = false;
};

/// An earlier application in the same place.
struct Past {
  Date on;
  std::string product;
  std::vector<Active> actives = {};      ///< of its card; empty = not known
  std::optional<ProductRate> rate = {};  ///< as it was applied
  std::optional<double> water = {};      ///< finished spray, L/m²
};

using garden::Handler;
using garden::Produce;

/// What a state's agency answered when asked whether a home-garden product may be used where produce is sold or given away.
struct AgencyAnswer {
  bool allows = false;
  Date on;
  std::string words;  ///< who wrote what
};

/// A planting the spray may reach.
struct Neighbour {
  std::string bed, crop;
  std::vector<Moment> harvests;
  bool downwind = false;  ///< it surely reaches it: the wind stands that way, or nothing can be put between
};

/// What somebody saw of flowers in a place the spray may reach.
struct BloomLook {
  enum class Seen { not_looked, none, open, open_cucurbit } seen = Seen::not_looked;
  std::string place;
  CivilTime at;
};

struct Sowing {
  std::string crop;
  Date on;
};

/// What was tried against the pest before, without a product.
struct Tried {
  std::string means;  ///< `hand-pick`, `cover`
  Date on;
};

/// What is proposed. Times are the garden's civil times; an application's time is its end.
struct Proposal {
  std::string crop;  ///< EPPO code
  Moment on;
  std::optional<ProductRate> rate;  ///< not given: the rate rule answers unknown
  std::vector<Moment> harvests;     ///< planned, after the application; empty = none planned
  std::optional<garden::Setting> setting;
  std::optional<std::vector<Past>> history;  ///< earlier applications on this planting; absent = not given
  /// The garden's, not owned. With it, hours are hours also in the night the clocks go forward, when the wall shows their end too early.
  const Zone* zone = nullptr;

  std::string pest;  ///< EPPO code; empty = not given
  std::optional<Method> method;
  std::optional<double> water;              ///< finished spray, L/m²
  std::optional<std::string> jurisdiction;  ///< `US-WI`; empty = the garden's is not set
  std::optional<Produce> produce;
  std::optional<AgencyAnswer> agency;
  std::optional<Handler> handler;
  std::vector<Moment> work;      ///< planned in the bed
  std::vector<Moment> feedings;  ///< produce or debris of the bed given to animals
  std::vector<Sowing> sowings;   ///< planned in the bed
  std::optional<int> growth_stage;
  std::optional<std::vector<BloomLook>> bloom;  ///< the bed and every place within drift
  std::vector<Neighbour> neighbours;
  std::optional<bool> enclosed;  ///< under glass or plastic
  std::optional<bool> covered;   ///< a row cover lies on it
  std::optional<bool> organic;   ///< a bed grown under organic rules
  std::vector<Tried> tried;
  std::optional<Length> nearest_person, release_height;
  std::optional<Droplets> droplets;
  std::vector<Date> generations;     ///< first days of the pest's generations, ascending
  double generation_days = 30.0;     ///< a generation, where `generations` are not known (from memory: about 30 days)
  std::optional<Date> crop_since;    ///< when this planting began
  std::optional<double> cycle_days;  ///< how long it stands in all
};

}  // namespace leafturn::label
