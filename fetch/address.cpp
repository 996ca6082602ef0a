#include "fetch/address.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <vector>

namespace leafturn::fetch {
namespace {

constexpr std::size_t most_bytes = 4096;

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
std::string lower(std::string_view text) {
  std::string out;
  for (const char c : text) out += lower(c);
  return out;
}
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_hex(char c) { return is_digit(c) || (lower(c) >= 'a' && lower(c) <= 'f'); }
bool is_letter(char c) { return lower(c) >= 'a' && lower(c) <= 'z'; }

tl::unexpected<Error> bad(const char* reason) {
  return fail("fetch.bad_address", {{}, 0, "ADDRESS"}, {{"reason", Term{std::string("fetch.bad.") + reason}}});
}

/// What RFC 3986 lets stand in an address as it is. Everything that could end a header line is outside.
bool allowed(char c) { return c > ' ' && c < '\x7f' && std::string_view{"\"<>\\^`{|}"}.find(c) == std::string_view::npos; }

std::optional<std::string> decoded(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      out += text[i];
      continue;
    }
    if (i + 2 >= text.size() || !is_hex(text[i + 1]) || !is_hex(text[i + 2])) return std::nullopt;
    int value = 0;
    std::from_chars(text.data() + i + 1, text.data() + i + 3, value, 16);
    // A control character has no place in a name or password, and a line's end least of all.
    if (value < ' ' || value == 0x7f) return std::nullopt;
    out += static_cast<char>(value);
    i += 2;
  }
  return out;
}

bool host_name(std::string_view host) {
  if (host.empty() || host.size() > 253 || host.front() == '.' || host.front() == '-') return false;
  return std::all_of(host.begin(), host.end(), [](char c) { return is_letter(c) || is_digit(c) || c == '-' || c == '.' || c == '_'; });
}

bool ipv6(std::string_view host) {
  return std::count(host.begin(), host.end(), ':') >= 2 && host.size() <= 45 &&
         std::all_of(host.begin(), host.end(), [](char c) { return is_hex(c) || c == ':' || c == '.'; });
}

/// Host and port of `host:port` or `[v6]:port` into `address`.
Status take_host(std::string_view text, Address& address) {
  std::string_view host = text;
  std::string_view port;
  if (!text.empty() && text.front() == '[') {
    const auto end = text.find(']');
    if (end == std::string_view::npos) return bad("host");
    host = text.substr(1, end - 1);
    const std::string_view rest = text.substr(end + 1);
    if (!rest.empty() && rest.front() != ':') return bad("host");
    if (!rest.empty()) port = rest.substr(1);
    if (!ipv6(host)) return bad("host");
  } else {
    if (const auto colon = text.find(':'); colon != std::string_view::npos) {
      host = text.substr(0, colon);
      port = text.substr(colon + 1);
    }
    if (!host_name(host)) return bad("host");
  }
  address.host = lower(host);
  address.port = address.secure ? 443 : 80;
  if (port.empty()) return {};
  const auto [end, error] = std::from_chars(port.data(), port.data() + port.size(), address.port);
  if (error != std::errc{} || end != port.data() + port.size() || address.port < 1 || address.port > 65535) return bad("port");
  return {};
}

/// RFC 3986 section 5.2.4.
std::string without_dots(std::string_view path) {
  std::vector<std::string_view> kept;
  bool folder = false;
  for (std::size_t from = 1; from <= path.size();) {
    const std::size_t end = std::min(path.find('/', from), path.size());
    const std::string_view part = path.substr(from, end - from);
    folder = part == "." || part == "..";
    if (part == ".." && !kept.empty()) kept.pop_back();
    if (!folder) kept.push_back(part);
    from = end + 1;
  }
  std::string out;
  for (const auto part : kept) out += "/" + std::string(part);
  return out.empty() || folder ? out + "/" : out;
}

std::string_view scheme_of(std::string_view text) {
  const auto colon = text.find(':');
  if (colon == std::string_view::npos || colon == 0 || !is_letter(text.front())) return {};
  const auto scheme = text.substr(0, colon);
  const bool plain =
      std::all_of(scheme.begin(), scheme.end(), [](char c) { return is_letter(c) || is_digit(c) || c == '+' || c == '-' || c == '.'; });
  return plain ? scheme : std::string_view{};
}

}  // namespace

bool Address::same_origin(const Address& other) const { return secure == other.secure && host == other.host && port == other.port; }

std::string Address::host_header() const {
  const std::string bare = host.find(':') == std::string::npos ? host : "[" + host + "]";
  return port == (secure ? 443 : 80) ? bare : bare + ":" + std::to_string(port);
}

std::string Address::whole() const { return (secure ? "https://" : "http://") + host_header() + target; }

std::string Address::shown() const {
  const std::string all = whole();
  const auto query = all.find('?');
  return query == std::string::npos ? all : all.substr(0, query) + "?…";
}

std::string Address::last_part() const {
  std::string_view path = std::string_view{target}.substr(0, target.find('?'));
  while (!path.empty() && path.back() == '/') path.remove_suffix(1);
  const std::string_view part = path.substr(path.rfind('/') + 1);
  const auto plain = decoded(part);
  return part.empty() || !plain ? host : *plain;
}

Result<Address> parse_address(std::string_view text) {
  if (text.size() > most_bytes) return bad("long");
  if (!std::all_of(text.begin(), text.end(), allowed)) return bad("characters");
  const std::string scheme = lower(scheme_of(text));
  if (scheme != "http" && scheme != "https") return bad("scheme");
  text.remove_prefix(scheme.size() + 1);
  if (!text.starts_with("//")) return bad("scheme");
  text.remove_prefix(2);
  text = text.substr(0, text.find('#'));
  Address address;
  address.secure = scheme == "https";
  const std::size_t end = std::min(text.find_first_of("/?"), text.size());
  std::string_view authority = text.substr(0, end);
  if (const auto at = authority.rfind('@'); at != std::string_view::npos) {
    const auto both = authority.substr(0, at);
    const auto colon = std::min(both.find(':'), both.size());
    const auto user = decoded(both.substr(0, colon));
    const auto password = decoded(colon < both.size() ? both.substr(colon + 1) : std::string_view{});
    if (!user || !password) return bad("user");
    address.user = *user;
    address.password = *password;
    authority.remove_prefix(at + 1);
  }
  if (auto taken = take_host(authority, address); !taken) return fail(taken.error());
  address.target = std::string(text.substr(end));
  if (!address.target.starts_with('/')) address.target = "/" + address.target;
  return address;
}

Result<Address> resolve(const Address& base, std::string_view location) {
  location = location.substr(0, location.find('#'));
  std::string whole;
  const std::string base_path = base.target.substr(0, base.target.find('?'));
  const std::string origin = (base.secure ? "https://" : "http://") + base.host_header();
  if (!scheme_of(location).empty()) {
    whole = std::string(location);
  } else if (location.starts_with("//")) {
    whole = (base.secure ? "https:" : "http:") + std::string(location);
  } else {
    const std::size_t mark = std::min(location.find('?'), location.size());
    std::string path{location.substr(0, mark)};
    const std::string query{location.substr(mark)};
    if (path.empty())
      whole = origin + (query.empty() ? base.target : base_path + query);
    else
      whole = origin + without_dots(path.front() == '/' ? path : base_path.substr(0, base_path.rfind('/') + 1) + path) + query;
  }
  auto address = parse_address(whole);
  if (!address) return address;
  if (address->same_origin(base) && address->user.empty()) {
    address->user = base.user;
    address->password = base.password;
  } else if (!address->same_origin(base)) {
    // Whoever sends us on doesn't get to say as whom we come.
    address->user.clear();
    address->password.clear();
  }
  return address;
}

}  // namespace leafturn::fetch
