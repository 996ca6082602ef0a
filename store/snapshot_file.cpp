#include "store/snapshot_file.hpp"

#include <sodium.h>

#include <array>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>

namespace leafturn::store {
namespace {

constexpr std::string_view magic = "LfTnSnapshot 1\n";
constexpr std::size_t digest_size = 32;
// magic, seq (8 bytes, lowest first), link, digest of those and the bytes, the bytes
constexpr std::size_t head_size = magic.size() + 8 + digest_size;
constexpr std::size_t bytes_at = head_size + digest_size;

using Check = std::array<unsigned char, digest_size>;

/// BLAKE2b, which is several times faster than SHA-256 here: this guards against damage, not against people.
Check check_of(std::string_view head, std::string_view bytes) {
  Check check{};
  crypto_generichash_state state;
  crypto_generichash_init(&state, nullptr, 0, check.size());
  for (const std::string_view part : {head, bytes})
    crypto_generichash_update(&state, reinterpret_cast<const unsigned char*>(part.data()), part.size());
  crypto_generichash_final(&state, check.data(), check.size());
  return check;
}

struct Close {
  void operator()(std::FILE* file) const { std::fclose(file); }
};
using File = std::unique_ptr<std::FILE, Close>;

std::string head_of(std::uint64_t seq, const Digest& link) {
  std::string head(magic);
  for (int shift = 0; shift < 64; shift += 8) head.push_back(static_cast<char>(seq >> shift));
  head.append(reinterpret_cast<const char*>(link.bytes.data()), link.bytes.size());
  return head;
}

}  // namespace

std::string snapshot_path(const std::string& ledger, const std::string& kind) { return ledger + ".snapshot-" + kind; }

std::optional<SnapshotFile> read_snapshot(const std::string& path) {
  std::error_code failed;
  const auto size = std::filesystem::file_size(path, failed);
  const File file(failed ? nullptr : std::fopen(path.c_str(), "rb"));
  if (file == nullptr || size < bytes_at) return std::nullopt;
  std::string head(bytes_at, '\0');
  SnapshotFile found;
  found.snapshot.bytes.resize(static_cast<std::size_t>(size) - bytes_at);
  if (std::fread(head.data(), 1, head.size(), file.get()) != head.size()) return std::nullopt;
  if (std::fread(found.snapshot.bytes.data(), 1, found.snapshot.bytes.size(), file.get()) != found.snapshot.bytes.size())
    return std::nullopt;
  for (std::size_t i = 0; i < 8; ++i) found.snapshot.seq |= std::uint64_t{static_cast<unsigned char>(head[magic.size() + i])} << (8 * i);
  std::memcpy(found.link.bytes.data(), head.data() + magic.size() + 8, digest_size);
  const std::string_view told(head.data(), head_size);
  const Check check = check_of(told, found.snapshot.bytes);
  if (!told.starts_with(magic) || std::memcmp(check.data(), head.data() + head_size, check.size()) != 0) return std::nullopt;
  return found;
}

Status write_snapshot(const std::string& path, const Digest& link, const Snapshot& snapshot) {
  const std::string partial = path + ".partial";
  const std::string head = head_of(snapshot.seq, link);
  const Check check = check_of(head, snapshot.bytes);
  const auto write = [&](std::FILE* file) {
    const auto put = [&](const void* bytes, std::size_t size) { return std::fwrite(bytes, 1, size, file) == size; };
    return put(head.data(), head.size()) && put(check.data(), check.size()) && put(snapshot.bytes.data(), snapshot.bytes.size()) &&
           std::fflush(file) == 0;
  };
  std::error_code failed;
  {
    const File file(std::fopen(partial.c_str(), "wb"));
    if (file == nullptr || !write(file.get())) failed = std::make_error_code(std::errc::io_error);
  }
  // Not synced: after a power cut it is whole, or its digest says it isn't and it is made again.
  if (!failed) std::filesystem::rename(partial, path, failed);
  if (!failed) return {};
  std::error_code ignored;
  std::filesystem::remove(partial, ignored);
  return fail("ledger.io", Where{path, 0, {}}, {{"detail", failed.message()}}, ErrorKind::cannot);
}

}  // namespace leafturn::store
