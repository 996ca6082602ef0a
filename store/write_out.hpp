#pragma once
/// A whole ledger held in memory, and its way into a file.

#include <map>

#include "store/ledger.hpp"

namespace leafturn::store {

struct GuestChain {
  Guest guest;
  std::vector<Entry> entries;
};

struct Contents {
  std::vector<Entry> entries;
  std::vector<Quarantined> quarantined;
  std::map<Digest, std::string> blobs;
  std::vector<GuestChain> guests;
};

/// A ledger file with the same receipts; complete under its name or not there.
Status write_out(const Contents& contents, const std::string& path);

}  // namespace leafturn::store
