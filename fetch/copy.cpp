#include "fetch/copy.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

#include "core/base/sha256.hpp"

namespace leafturn::fetch {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view first_line = "leafturn copy 1";

std::string path_of(const std::string& folder, const Address& address) {
  return (fs::path(folder) / (sha256(address.whole()).hex() + ".copy")).string();
}

tl::unexpected<Error> cannot_write(const std::string& path, int number) {
  return fail("file.cannot_write", {path, 0, {}}, {{"reason", std::generic_category().message(number)}}, ErrorKind::cannot);
}

/// An open file, closed whatever happens.
class Handle {
 public:
  Handle(const std::string& path, int flags) : number_{open(path.c_str(), flags | O_CLOEXEC, S_IRUSR | S_IWUSR)} {}
  ~Handle() {
    if (number_ >= 0) close(number_);
  }
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  bool good() const { return number_ >= 0; }
  bool write_all(std::string_view bytes) const {
    while (!bytes.empty()) {
      const ssize_t did = write(number_, bytes.data(), bytes.size());
      if (did < 0 && errno == EINTR) continue;
      if (did <= 0) return false;
      bytes.remove_prefix(static_cast<std::size_t>(did));
    }
    return true;
  }
  bool flush() const { return fsync(number_) == 0; }

 private:
  int number_;
};

/// The next `name: value` line of a header, taken off its front.
std::optional<std::string> take(std::string_view& rest, std::string_view name) {
  const auto end = rest.find('\n');
  if (end == std::string_view::npos) return std::nullopt;
  const std::string_view line = rest.substr(0, end);
  rest.remove_prefix(end + 1);
  if (!line.starts_with(name) || line.substr(name.size(), 2) != ": ") return std::nullopt;
  return std::string(line.substr(name.size() + 2));
}

std::string written(const Copy& copy) {
  std::string text{first_line};
  text += "\nfetched: " + copy.fetched.iso_utc() + "\netag: " + copy.validators.etag + "\nlast-modified: " + copy.validators.last_modified +
          "\nsha256: " + sha256(copy.bytes).hex() + "\n\n";
  return text + copy.bytes;
}

}  // namespace

std::optional<Copy> read_copy(const std::string& folder, const Address& address) {
  std::ifstream in(path_of(folder, address), std::ios::binary);
  const std::string all{std::istreambuf_iterator<char>(in), {}};
  std::string_view rest = all;
  const std::string beginning = std::string(first_line) + "\n";
  if (!rest.starts_with(beginning)) return std::nullopt;
  rest.remove_prefix(beginning.size());
  const auto fetched = take(rest, "fetched");
  const auto etag = take(rest, "etag");
  const auto modified = take(rest, "last-modified");
  const auto digest = take(rest, "sha256");
  if (!fetched || !etag || !modified || !digest || !rest.starts_with('\n')) return std::nullopt;
  rest.remove_prefix(1);
  const auto when = Instant::parse(*fetched);
  if (!when || sha256(rest).hex() != *digest) return std::nullopt;
  return Copy{{*etag, *modified}, *when, std::string(rest)};
}

Status write_copy(const std::string& folder, const Address& address, const Copy& copy) {
  std::error_code problem;
  fs::create_directories(folder, problem);
  if (problem) return cannot_write(folder, problem.value());
  const std::string path = path_of(folder, address);
  // A name of this process's own: two that fetch the same at once don't write into one file.
  const std::string half = path + "." + std::to_string(getpid()) + ".part";
  fs::remove(half, problem);
  bool good = false;
  int number = 0;
  {
    const Handle file(half, O_WRONLY | O_CREAT | O_EXCL);
    good = file.good() && file.write_all(written(copy)) && file.flush();
    number = errno;
  }
  if (good && rename(half.c_str(), path.c_str()) != 0) {
    good = false;
    number = errno;
  }
  if (!good) {
    fs::remove(half, problem);
    return cannot_write(path, number);
  }
  // The new name is on the disk only once its folder is.
  const Handle there(folder, O_RDONLY | O_DIRECTORY);
  if (there.good() && !there.flush()) return cannot_write(path, errno);
  return {};
}

}  // namespace leafturn::fetch
