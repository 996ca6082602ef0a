#include "app/file_text.hpp"

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include "io/file_bytes.hpp"

namespace leafturn::app {
namespace {

tl::unexpected<Error> cannot_write(const std::string& path, std::string reason) {
  return fail("file.cannot_write", {path, 0, {}}, {{"reason", std::move(reason)}}, ErrorKind::cannot);
}

bool write_all(const std::string& path, std::string_view bytes) {
  std::FILE* file = std::fopen(path.c_str(), "wbx");
  if (file == nullptr) return false;
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size();
  return std::fclose(file) == 0 && written;
}

}  // namespace

Result<std::string> read_text(const std::string& path) { return io::read_file(path); }

Status must_not_exist(const std::string& path) {
  std::error_code problem;
  if (std::filesystem::exists(std::filesystem::symlink_status(path, problem))) return fail("file.exists", {path, 0, {}});
  return {};
}

Status write_new_file(const std::string& path, std::string_view bytes) {
  if (auto free = must_not_exist(path); !free) return free;
  // Under another name first: a name that a person knows never stands for half a file.
  const std::string half = path + ".part";
  std::error_code problem;
  std::filesystem::remove(half, problem);
  errno = 0;
  if (!write_all(half, bytes)) {
    const int number = errno;
    std::filesystem::remove(half, problem);
    return cannot_write(path, std::generic_category().message(number));
  }
  std::filesystem::rename(half, path, problem);
  if (problem) return cannot_write(path, problem.message());
  return {};
}

Result<std::optional<Digest>> parse_head(const std::optional<std::string>& text) {
  if (!text) return std::optional<Digest>{};
  if (const auto head = Digest::parse(*text)) return std::optional<Digest>{*head};
  return fail("ledger.head_unreadable", {{}, 0, "--head"}, {{"given", *text}});
}

}  // namespace leafturn::app
