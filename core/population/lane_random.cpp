#include "core/population/lane_random.hpp"

namespace leafturn::population {

void uniforms(const LanePlace& place, std::array<Lane, 4>& out) {
  in_lanes(phenology::widest_lanes(), [&]() LEAFTURN_LANE_BODY {
    std::array<Lane, 4> rough;
    uniforms_inline(place, out, rough);
  });
}

}  // namespace leafturn::population
