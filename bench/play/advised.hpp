#pragma once
/// Whoever does what leafturn advises: the same looks as the competent grower, then the brief and the comparison of options.

#include "bench/play/rounds.hpp"

namespace leafturn::play {

void advised_morning(Played& played, const pest::Library& library);

}  // namespace leafturn::play
