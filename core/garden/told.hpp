#pragma once
/// What only a person there can say: of a spray before it is judged, and of the bed before the first nozzle opens. Absent = not told.

#include <optional>
#include <string>
#include <vector>

#include "core/base/quantity.hpp"

namespace leafturn::garden {

/// What the label calls a way of applying.
enum class Method { foliar, soil, chemigation, dust, bait, seed };

/// Spray quality of ASABE S572 and ISO 25358, finest first.
enum class Droplets { very_fine, fine, medium, coarse, very_coarse, extremely_coarse, ultra_coarse };

/// What becomes of what is picked.
enum class Produce { kept, given, sold };

/// What somebody saw of flowers in a bed and everything within drift of it.
enum class Flowers { none, open, open_cucurbit };

/// Who sprays. Everybody outside the owner's family, paid or not, is treated as covered by worker protection (40 CFR 170).
struct Handler {
  bool family = false;
  std::optional<bool> adult, trained, licensed;
  std::optional<std::vector<std::string>> protection;  ///< what they have on, in the card's words
};

/// Said with a spray, and judged with it.
struct Told {
  std::optional<Method> method = {};
  std::optional<Flowers> flowers = {};
  std::optional<Handler> handler = {};
  std::optional<Produce> produce = {};              ///< else the garden's
  std::optional<bool> organic = {}, enclosed = {};  ///< else the bed's
  std::optional<Length> nearest_person = {}, release_height = {};
  std::optional<Droplets> droplets = {};
  std::optional<double> water = {};  ///< finished spray, L/m²

  /// Anything at all.
  bool any() const;
};

/// Measured and seen by the applicator at the bed, before it is begun.
struct AtBed {
  std::optional<Speed> wind = {};  ///< at the nozzle's height
  std::optional<Temperature> temperature = {};
  std::optional<double> humidity = {};       ///< relative, 0 … 1
  std::optional<bool> people_clear = {};     ///< nobody but trained handlers within the distance
  std::optional<bool> in_flower = {};        ///< crop, weeds or cover in or beside the bed
  std::optional<bool> dry = {};              ///< no rain now, leaves dry
  std::optional<bool> dry_ahead = {};        ///< no rain expected within the hours that count, by the sky and the forecast
  std::optional<bool> drought = {};          ///< wilted, or stressed by dry soil
  std::optional<bool> overcast = {};         ///< most of the sky in cloud
  std::optional<Length> nozzle_height = {};  ///< above the ground; not told counts as high
};

}  // namespace leafturn::garden
