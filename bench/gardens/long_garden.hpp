#pragma once
/// A garden with a long ledger, invented: for measuring what many events cost.

#include <cstdint>
#include <string>

#include "core/base/result.hpp"

namespace leafturn::bench {

/// Makes `folder` with a ledger of exactly `events` events: sixty beds over twenty seasons up to the summer of 2026, mostly counts, with
/// harvests, work, plantings, and one event in two hundred put right later; a few come late, as phones send them. The same for the same
/// seed.
Status write_long_garden(const std::string& folder, std::uint64_t events, std::uint64_t seed);

}  // namespace leafturn::bench
