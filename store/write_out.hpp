#pragma once
/// A whole ledger held in memory, and its way into a file.

#include <map>

#include "store/ledger.hpp"

namespace leafturn::store {

struct Contents {
  std::vector<Entry> entries;
  std::vector<Quarantined> quarantined;
  std::map<std::string, Snapshot> snapshots;
  std::map<Digest, std::string> blobs;
};

/// A ledger file with the same receipts; complete under its name or not there.
Status write_out(const Contents& contents, const std::string& path);

}  // namespace leafturn::store
