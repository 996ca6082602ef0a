// Kills, power cuts and tampering against the ledger: how much that was acknowledged is lost, and how much that was changed is found.
#include <unistd.h>

#include <filesystem>

#include "bench/support/bench.hpp"
#include "tests/store/faults/runs.hpp"

namespace {

void add(leafturn::store::faults::Outcome& sum, const leafturn::store::faults::Outcome& more) {
  sum.stops += more.stops;
  sum.acknowledged += more.acknowledged;
  sum.lost += more.lost;
  sum.damaged += more.damaged;
  sum.notes.insert(sum.notes.end(), more.notes.begin(), more.notes.end());
}

}  // namespace

int main(int argc, char** argv) {
  using namespace leafturn;
  const bench::Options options = bench::read_options(argc, argv, "faults");
  constexpr int kills = 1000;
  const int cuts = options.quick ? 500 : 4000;
  const int bad_syncs = options.quick ? 200 : 1000;
  const auto folder = std::filesystem::temp_directory_path() / ("leafturn-faults-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);

  // Rounds, so that the spread of what a writer gets in before it is stopped is measured.
  constexpr int rounds = 5;
  store::faults::Outcome killed;
  store::faults::Outcome cut;
  std::vector<double> acknowledged;
  for (std::uint64_t round = 0; round < rounds; ++round) {
    const std::uint64_t seed = options.seed * 1000 + round;
    const std::string place = (folder / std::to_string(round)).string();
    std::filesystem::create_directories(place);
    const auto before = killed.acknowledged + cut.acknowledged;
    add(killed, store::faults::kill_writers(kills / rounds, seed, place));
    add(cut, store::faults::cut_power(cuts / rounds, seed, true));
    acknowledged.push_back(static_cast<double>(killed.acknowledged + cut.acknowledged - before));
  }
  const auto unsafe = store::faults::cut_power(cuts / 10, options.seed, false);
  const auto synced = store::faults::fail_syncs(bad_syncs, options.seed);
  const auto tampering = store::faults::tamper(folder.string());
  std::filesystem::remove_all(folder);

  const auto number = [](auto value) { return static_cast<double>(value); };
  bench::Results results(options);
  results.figure("kills", {number(killed.stops), 0.0});
  results.figure("power_cuts", {number(cut.stops), 0.0});
  const bench::Estimate per_round = bench::estimate(acknowledged);
  results.figure("acknowledged", {rounds * per_round.mean, rounds * per_round.standard_error});
  results.figure("lost", {number(killed.lost + cut.lost + synced.outcome.lost), 0.0});
  results.figure("tamper_found", {number(tampering.found) / number(tampering.changes), 0.0});
  results.figure("failed_syncs", {number(synced.outcome.stops), 0.0});
  results.figure("acknowledged_after_a_failed_sync", {number(synced.unasked), 0.0});
  results.figure("lost_without_syncing", {unsafe.lost > 0 ? 1.0 : 0.0, 0.0});
  results.figure("damaged", {number(killed.damaged + cut.damaged + synced.outcome.damaged), 0.0});
  results.raw("acknowledged_around_failed_syncs", {number(synced.outcome.acknowledged)});
  results.raw("acknowledged_per_round", acknowledged);
  results.raw("acknowledged_before_kills_and_cuts", {number(killed.acknowledged), number(cut.acknowledged)});
  results.raw("ledgers_damaged_by_kills_and_cuts", {number(killed.damaged), number(cut.damaged)});
  results.raw("tamper_changes_and_found", {number(tampering.changes), number(tampering.found)});
  results.raw("without_syncing_cuts_and_lost", {number(unsafe.stops), number(unsafe.lost)});
  for (const std::vector<std::string>& notes : {killed.notes, cut.notes, synced.outcome.notes, tampering.missed})
    for (const std::string& note : notes) results.note("went_wrong", note);
  return results.finish();
}
