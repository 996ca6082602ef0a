#pragma once
/// The competent grower: published thresholds, the stage each speaks of, the gentlest means that works, a recount, and the next stronger
/// one when it didn't.

#include "bench/play/rounds.hpp"

namespace leafturn::play {

/// One morning: looks at what is due, acts where a threshold is passed.
void competent_morning(Played& played, const pest::Library& library);
/// Sprays the first product of the shelf that may be used, whatever is there, once a week from three weeks after setting out.
void calendar_morning(Played& played);

}  // namespace leafturn::play
