#pragma once
/// Snapshots as files beside the ledger's, so that a backup doesn't carry them and no writer waits for them. Each keeps the link it was
/// made at and a digest of itself; anything that doesn't fit is not used.

#include "store/ledger.hpp"

namespace leafturn::store {

struct SnapshotFile {
  Digest link;  ///< the chain's at `snapshot.seq`
  Snapshot snapshot;
};

/// `LEDGER.snapshot-KIND`.
std::string snapshot_path(const std::string& ledger, const std::string& kind);
/// Nothing when there is none or its digest says it is damaged.
std::optional<SnapshotFile> read_snapshot(const std::string& path);
/// Complete under its name or not there; `ledger.io` when the disk refuses.
Status write_snapshot(const std::string& path, const Digest& link, const Snapshot& snapshot);

}  // namespace leafturn::store
