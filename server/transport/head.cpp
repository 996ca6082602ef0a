#include "server/transport/head.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <set>
#include <string>

namespace leafturn::server::transport {
namespace {

/// RFC 9110, 5.6.2: what a method or a field's name is made of.
bool is_token(std::string_view text) {
  constexpr std::string_view marks = "!#$%&'*+-.^_`|~";
  return !text.empty() && std::all_of(text.begin(), text.end(), [&](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || marks.find(c) != std::string_view::npos;
  });
}

bool has_control(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) < 0x20 && c != '\t') || c == 0x7f; });
}

std::string lower(std::string_view text) {
  std::string out{text};
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

Refusal unreadable(std::string_view where) {
  return {400, {"server.request_unreadable", {"", 0, std::string{where}}, {}, ErrorKind::bad_input}};
}

/// The next line without its CRLF; nothing when it ends otherwise.
std::optional<std::string_view> take_line(std::string_view& rest) {
  const auto end = rest.find_first_of("\r\n");
  if (end == std::string_view::npos || rest.substr(end, 2) != "\r\n") return std::nullopt;
  const auto line = rest.substr(0, end);
  rest.remove_prefix(end + 2);
  return line;
}

struct Line {
  std::string_view method, target, version;
};

std::optional<Refusal> refuse_request_line(std::string_view text, Line& line) {
  const auto first = text.find(' ');
  const auto last = text.rfind(' ');
  if (first == std::string_view::npos || first == last) return unreadable({});
  line = {text.substr(0, first), text.substr(first + 1, last - first - 1), text.substr(last + 1)};
  if (line.target.size() > most_target) return Refusal{414, {"server.address_too_long", {}, {}, ErrorKind::bad_input}};
  const bool whole = is_token(line.method) && line.target.starts_with('/') && line.target.find_first_of(" \t#") == std::string_view::npos &&
                     (line.version == "HTTP/1.1" || line.version == "HTTP/1.0");
  if (!whole || has_control(text)) return unreadable({});
  return std::nullopt;
}

/// Two of these would leave it to the reader which one counts.
bool is_single(std::string_view name) {
  static constexpr std::array<std::string_view, 7> names{"host",   "content-length",    "content-type",    "origin",
                                                         "cookie", "x-forwarded-proto", "x-leafturn-token"};
  return std::find(names.begin(), names.end(), name) != names.end();
}

std::optional<Refusal> refuse_length(std::string_view value, std::size_t most_body) {
  std::uint64_t length = 0;
  const auto [end, wrong] = std::from_chars(value.data(), value.data() + value.size(), length);
  if (value.empty() || value.front() < '0' || value.front() > '9' || end != value.data() + value.size() ||
      (wrong != std::errc{} && wrong != std::errc::result_out_of_range))
    return unreadable("Content-Length");
  if (wrong == std::errc::result_out_of_range || length > most_body)
    return Refusal{
        413, {"server.body_too_large", {"", 0, "Content-Length"}, {{"most", static_cast<std::int64_t>(most_body)}}, ErrorKind::bad_input}};
  return std::nullopt;
}

}  // namespace

std::optional<Refusal> refuse_head(std::string_view head, std::size_t most_body) {
  if (head.size() > most_head) return Refusal{431, {"server.head_too_large", {}, {}, ErrorKind::bad_input}};
  std::string_view rest = head;
  const auto first = take_line(rest);
  if (!first) return unreadable({});
  Line line;
  if (auto refused = refuse_request_line(*first, line)) return refused;
  std::set<std::string> seen;
  for (std::size_t fields = 0;; ++fields) {
    const auto field = take_line(rest);
    if (!field) return unreadable({});
    if (field->empty()) break;
    if (fields == most_fields) return Refusal{431, {"server.head_too_large", {}, {}, ErrorKind::bad_input}};
    const auto colon = field->find(':');
    if (colon == std::string_view::npos || !is_token(field->substr(0, colon)) || has_control(*field)) return unreadable({});
    const std::string name = lower(field->substr(0, colon));
    const auto value = trimmed(field->substr(colon + 1));
    if (name == "transfer-encoding") return Refusal{411, {"server.length_needed", {"", 0, "Content-Length"}, {}, ErrorKind::bad_input}};
    if (!seen.insert(name).second && is_single(name)) return unreadable(field->substr(0, colon));
    if (name == "content-length")
      if (auto refused = refuse_length(value, most_body)) return refused;
  }
  if (!rest.empty()) return unreadable({});
  if (line.version == "HTTP/1.1" && !seen.contains("host")) return unreadable("Host");
  return std::nullopt;
}

}  // namespace leafturn::server::transport
