#include "server/guard.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace leafturn::server {
namespace {

std::string lower(std::string_view text) {
  std::string out{text};
  std::transform(out.begin(), out.end(), out.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return out;
}

/// `127.0.0.1:8080`, `localhost`, `[::1]:80`.
bool is_loopback(std::string_view host) {
  const std::string name = lower(host);
  for (const std::string_view local : {"127.0.0.1", "localhost", "[::1]"}) {
    if (name == local) return true;
    if (name.size() > local.size() + 1 && name.starts_with(local) && name[local.size()] == ':') {
      return std::all_of(name.begin() + static_cast<std::ptrdiff_t>(local.size()) + 1, name.end(),
                         [](unsigned char c) { return std::isdigit(c) != 0; });
    }
  }
  return false;
}

bool is_json(std::string_view type) {
  const std::string name = lower(type.substr(0, type.find(';')));
  const auto end = name.find_last_not_of(" \t");
  return end != std::string::npos && name.substr(0, end + 1) == "application/json";
}

}  // namespace

std::optional<Refusal> refuse(const Request& request) {
  const auto host = request.header("host");
  if (!is_loopback(host))
    return Refusal{403, {"server.host_not_local", {"", 0, "Host"}, {{"host", std::string{host}}}, ErrorKind::bad_input}};
  if (request.method != "POST") return std::nullopt;
  const auto origin = request.header("origin");
  // Programs send no Origin; every browser does with a POST.
  if (!origin.empty() && lower(origin) != "http://" + lower(host)) {
    return Refusal{403, {"server.origin_foreign", {"", 0, "Origin"}, {{"origin", std::string{origin}}}, ErrorKind::bad_input}};
  }
  if (!is_json(request.header("content-type"))) {
    return Refusal{415, {"server.not_json_type", {"", 0, "Content-Type"}, {}, ErrorKind::bad_input}};
  }
  return std::nullopt;
}

void add_safety_headers(Response& response) {
  static const std::array<std::pair<const char*, const char*>, 6> always{{
      {"Content-Security-Policy",
       "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; manifest-src 'self'; "
       "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
      {"X-Content-Type-Options", "nosniff"},
      {"X-Frame-Options", "DENY"},
      {"Referrer-Policy", "no-referrer"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
  }};
  for (const auto& [name, value] : always) response.headers[name] = value;
  response.headers.emplace("Cache-Control", "no-store");
}

}  // namespace leafturn::server
