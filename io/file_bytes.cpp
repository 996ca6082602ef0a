#include "io/file_bytes.hpp"

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>

namespace leafturn::io {
namespace {

constexpr std::uintmax_t largest = 256U * 1024U * 1024U;

tl::unexpected<Error> unreadable(const std::string& path, int number) {
  return fail("file.unreadable", {path, 0, {}}, {{"reason", std::generic_category().message(number)}}, ErrorKind::cannot);
}

}  // namespace

Result<std::string> read_file(const std::string& path) {
  std::error_code problem;
  const auto status = std::filesystem::status(path, problem);
  if (status.type() == std::filesystem::file_type::not_found) return fail("file.missing", {path, 0, {}}, {}, ErrorKind::not_found);
  if (status.type() == std::filesystem::file_type::none) return unreadable(path, problem.value());
  if (status.type() == std::filesystem::file_type::directory) return fail("file.is_folder", {path, 0, {}});

  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file{std::fopen(path.c_str(), "rb"), &std::fclose};
  if (file == nullptr) return unreadable(path, errno);
  std::string bytes;
  char part[65536];
  // Read to the end instead of asking for the size: a pipe has none.
  while (const std::size_t got = std::fread(part, 1, sizeof part, file.get())) {
    bytes.append(part, got);
    if (bytes.size() > largest) return fail("file.too_large", {path, 0, {}}, {{"megabytes", std::int64_t{largest >> 20U}}});
  }
  if (std::ferror(file.get()) != 0) return unreadable(path, errno);
  return bytes;
}

}  // namespace leafturn::io
