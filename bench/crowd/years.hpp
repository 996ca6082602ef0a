#pragma once
/// A garden of many years: the demo's own season, and before it seasons in which twelve people with phones wrote down all they did.

#include <cstdint>
#include <string>

namespace leafturn::bench {

/// Brings the ledger of a demo garden up to `events`: as many whole years before the demo's as that takes, 40,000 events each, of which six
/// in ten are counts, two harvests and two work. False when the ledger can't be written.
bool invent_years(const std::string& garden_folder, std::uint64_t events, std::uint64_t seed);

/// An event as a phone writes it, some minutes before the demo's own time. `writer_seq` from 1 per writer.
/// The kinds: 0 a harvest, 1 work, 2 a count.
std::string phone_event(std::uint64_t writer, std::uint64_t writer_seq, int kind, std::uint64_t random);

}  // namespace leafturn::bench
