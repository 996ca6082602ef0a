#include <algorithm>
#include <map>
#include <mutex>

#include "store/chain.hpp"
#include "store/write_out.hpp"

namespace leafturn::store {
namespace {

class MemoryLedger final : public Ledger {
 public:
  Result<std::vector<Receipt>> append(std::span<const Envelope> batch, Instant received, std::optional<std::uint64_t> after = {}) override {
    for (const Envelope& envelope : batch)
      if (const Status good = check_envelope(envelope); !good) return fail(good.error());
    const std::lock_guard lock(mutex_);
    if (after && *after != contents_.entries.size()) return fail("ledger.moved_on", {}, {}, ErrorKind::conflict);
    std::vector<Receipt> receipts;
    for (const Envelope& envelope : batch) receipts.push_back(put(envelope, received));
    return receipts;
  }

  Result<std::vector<Entry>> read(std::uint64_t from_seq, std::size_t most) override {
    const std::lock_guard lock(mutex_);
    return some(contents_.entries, from_seq, most);
  }

  Result<std::vector<Entry>> read_at(std::span<const std::uint64_t> seqs) override {
    const std::lock_guard lock(mutex_);
    std::vector<Entry> entries;
    for (const std::uint64_t seq : seqs)
      if (seq >= 1 && seq <= contents_.entries.size()) entries.push_back(contents_.entries[seq - 1]);
    return entries;
  }

  Result<std::optional<Entry>> find(const Id& id) override {
    const std::lock_guard lock(mutex_);
    const auto found = by_id_.find(id);
    return found == by_id_.end() ? std::optional<Entry>{} : std::optional{contents_.entries[found->second]};
  }

  Status writable() override { return {}; }

  Result<std::vector<Quarantined>> quarantine() override {
    const std::lock_guard lock(mutex_);
    return contents_.quarantined;
  }

  Result<std::uint64_t> last_seq() override {
    const std::lock_guard lock(mutex_);
    return contents_.entries.size();
  }

  Result<Verification> verify(std::optional<Digest> head) override {
    const std::lock_guard lock(mutex_);
    Walk walk(head);
    for (const Entry& entry : contents_.entries) walk.add(entry, sha256(entry.envelope.bytes), heading_hash(entry.envelope));
    walk.quarantined(static_cast<std::int64_t>(contents_.quarantined.size()));
    return walk.finish();
  }

  Result<std::optional<Snapshot>> snapshot_get(const std::string& kind) override {
    const std::lock_guard lock(mutex_);
    const auto found = snapshots_.find(kind);
    if (found == snapshots_.end()) return std::optional<Snapshot>{};
    return std::optional<Snapshot>{found->second};
  }

  Status snapshot_put(const std::string& kind, const Snapshot& snapshot) override {
    const std::lock_guard lock(mutex_);
    if (snapshot.seq > contents_.entries.size())
      return fail("ledger.snapshot_ahead", Where{{}, 0, "seq"}, {{"seq", static_cast<std::int64_t>(snapshot.seq)}});
    snapshots_[kind] = snapshot;
    return {};
  }

  Status adopt(std::span<const Entry> entries) override {
    const std::lock_guard lock(mutex_);
    const std::size_t have = contents_.entries.size();
    if (auto rest = add_rest(contents_.entries, entries); !rest) return rest;
    for (std::size_t i = have; i < contents_.entries.size(); ++i) by_id_[contents_.entries[i].envelope.id] = i;
    return {};
  }

  Status adopt_guest(const std::string& name, std::span<const Entry> entries, Instant now) override {
    if (entries.empty()) return {};
    const std::lock_guard lock(mutex_);
    GuestChain* chain = guest_of(entries.front().link);
    GuestChain fresh{{entries.front().link, name, now, 0, {}}, {}};
    if (auto rest = add_rest(chain == nullptr ? fresh.entries : chain->entries, entries); !rest) return rest;
    if (chain == nullptr) chain = &contents_.guests.emplace_back(std::move(fresh));
    chain->guest.events = chain->entries.size();
    chain->guest.head = chain->entries.back().link;
    return {};
  }

  Result<std::vector<Guest>> guests() override {
    const std::lock_guard lock(mutex_);
    std::vector<Guest> found;
    for (const GuestChain& chain : contents_.guests) found.push_back(chain.guest);
    return found;
  }

  Result<std::vector<Entry>> read_guest(const Digest& origin, std::uint64_t from_seq, std::size_t most) override {
    const std::lock_guard lock(mutex_);
    const GuestChain* chain = guest_of(origin);
    return chain == nullptr ? std::vector<Entry>{} : some(chain->entries, from_seq, most);
  }

  Result<Digest> blob_put(std::string_view bytes) override {
    const std::lock_guard lock(mutex_);
    const Digest digest = sha256(bytes);
    contents_.blobs.emplace(digest, bytes);
    return digest;
  }

  Result<std::string> blob_get(const Digest& digest) override {
    const std::lock_guard lock(mutex_);
    const auto found = contents_.blobs.find(digest);
    if (found == contents_.blobs.end()) return fail("ledger.no_such_blob", {}, {{"blob", digest.hex()}}, ErrorKind::not_found);
    return found->second;
  }

  Status backup(const std::string& to_path) override {
    const std::lock_guard lock(mutex_);
    return write_out(contents_, to_path);
  }

 private:
  static std::vector<Entry> some(const std::vector<Entry>& entries, std::uint64_t from_seq, std::size_t most) {
    const std::size_t first = std::min<std::size_t>(from_seq == 0 ? 0 : from_seq - 1, entries.size());
    const std::size_t count = std::min(most, entries.size() - first);
    const auto begin = entries.begin() + static_cast<std::ptrdiff_t>(first);
    return {begin, begin + static_cast<std::ptrdiff_t>(count)};
  }
  static Status add_rest(std::vector<Entry>& here, std::span<const Entry> entries) {
    for (std::size_t i = 0; i < std::min(here.size(), entries.size()); ++i)
      if (here[i].link != entries[i].link)
        return fail("ledger.chains_differ", {}, {{"seq", static_cast<std::int64_t>(i + 1)}}, ErrorKind::conflict);
    const std::size_t have = std::min(here.size(), entries.size());
    if (auto whole = check_chain(entries.subspan(have), have, have == 0 ? Digest{} : entries[have - 1].link); !whole) return whole;
    here.insert(here.end(), entries.begin() + static_cast<std::ptrdiff_t>(have), entries.end());
    return {};
  }
  GuestChain* guest_of(const Digest& origin) {
    const auto found = std::find_if(contents_.guests.begin(), contents_.guests.end(),
                                    [&](const GuestChain& chain) { return chain.guest.origin == origin; });
    return found == contents_.guests.end() ? nullptr : &*found;
  }

  Receipt put(const Envelope& envelope, Instant received) {
    const Digest hash = sha256(envelope.bytes);
    if (const auto found = by_id_.find(envelope.id); found != by_id_.end()) {
      const Entry& old = contents_.entries[found->second];
      if (sha256(old.envelope.bytes) == hash) return {envelope.id, old.seq, old.link, Receipt::Kind::had_it};
      const auto same = [&](const Quarantined& q) { return q.envelope.id == envelope.id && q.envelope.bytes == envelope.bytes; };
      if (std::none_of(contents_.quarantined.begin(), contents_.quarantined.end(), same))
        contents_.quarantined.push_back({envelope, received});
      return {envelope.id, 0, Digest{}, Receipt::Kind::quarantined};
    }
    const Digest previous = contents_.entries.empty() ? Digest{} : contents_.entries.back().link;
    const std::uint64_t seq = contents_.entries.size() + 1;
    by_id_[envelope.id] = contents_.entries.size();
    contents_.entries.push_back({seq, received, next_link(previous, seq, received, hash), envelope});
    return {envelope.id, seq, contents_.entries.back().link, Receipt::Kind::appended};
  }

  std::mutex mutex_;
  Contents contents_;
  std::map<std::string, Snapshot> snapshots_;
  std::map<Id, std::size_t> by_id_;
};

}  // namespace

std::unique_ptr<Ledger> open_memory() { return std::make_unique<MemoryLedger>(); }

}  // namespace leafturn::store
