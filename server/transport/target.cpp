#include "server/transport/target.hpp"

#include <algorithm>

namespace leafturn::server::transport {
namespace {

int hex_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

std::optional<std::string> decoded(std::string_view text, bool plus_is_blank) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    char c = text[i];
    if (c == '%') {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = hex_digit(text[i + 1]), low = hex_digit(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      c = static_cast<char>(high * 16 + low);
      i += 2;
    } else if (c == '+' && plus_is_blank) {
      c = ' ';
    }
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) return std::nullopt;
    out += c;
  }
  return out;
}

bool climbs(std::string_view path) {
  while (!path.empty()) {
    const auto end = path.find_first_of("/\\");
    const auto part = path.substr(0, end);
    if (part == "." || part == "..") return true;
    path = end == std::string_view::npos ? std::string_view{} : path.substr(end + 1);
  }
  return false;
}

}  // namespace

std::optional<Target> read_target(std::string_view target) {
  const auto mark = target.find('?');
  auto path = decoded(target.substr(0, mark), false);
  if (!path || path->empty() || path->front() != '/' || climbs(*path)) return std::nullopt;
  Target out{std::move(*path), {}};
  std::string_view rest = mark == std::string_view::npos ? std::string_view{} : target.substr(mark + 1);
  while (!rest.empty()) {
    const auto end = rest.find('&');
    const auto pair = rest.substr(0, end);
    const auto equals = pair.find('=');
    auto name = decoded(pair.substr(0, equals), true);
    auto value = equals == std::string_view::npos ? std::string{} : decoded(pair.substr(equals + 1), true);
    if (!name || !value) return std::nullopt;
    if (!pair.empty()) out.query.emplace(std::move(*name), std::move(*value));
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
  }
  return out;
}

}  // namespace leafturn::server::transport
