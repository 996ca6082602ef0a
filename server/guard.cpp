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

/// `name:port` is the name, with or without a port of digits only.
bool is_name(std::string_view host, std::string_view name) {
  if (host == name) return true;
  if (host.size() <= name.size() + 1 || !host.starts_with(name) || host[name.size()] != ':') return false;
  return std::all_of(host.begin() + static_cast<std::ptrdiff_t>(name.size()) + 1, host.end(),
                     [](unsigned char c) { return std::isdigit(c) != 0; });
}

template <class Names>
bool is_one_of(std::string_view host, const Names& names) {
  const std::string asked = lower(host);
  return std::any_of(names.begin(), names.end(), [&](const auto& name) { return is_name(asked, name); });
}

/// The way in over plain http: how to trust the garden's authority, and whether anybody is there.
bool is_the_door(const Request& request) {
  static constexpr std::array<std::string_view, 4> door{"/phone", "/phone.css", "/authority.crt", "/healthz"};
  return (request.method == "GET" || request.method == "HEAD") && std::find(door.begin(), door.end(), request.path) != door.end();
}

bool is_json(std::string_view type) {
  const std::string name = lower(type.substr(0, type.find(';')));
  const auto end = name.find_last_not_of(" \t");
  return end != std::string::npos && name.substr(0, end + 1) == "application/json";
}

}  // namespace

bool is_loopback_name(std::string_view host) {
  static constexpr std::array<std::string_view, 3> names{"127.0.0.1", "localhost", "[::1]"};
  return is_one_of(host, names);
}

bool is_address(std::string_view host) {
  const bool six = host.starts_with('[');
  const auto end = six ? host.find(']') : host.find(':');
  const std::string_view figures = six ? host.substr(1, end == std::string_view::npos ? end : end - 1) : host.substr(0, end);
  const auto is_figure = [&](char c) {
    return (c >= '0' && c <= '9') || c == '.' || (six && (c == ':' || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F')));
  };
  return !figures.empty() && (!six || end != std::string_view::npos) && std::all_of(figures.begin(), figures.end(), is_figure) &&
         is_name(host, six ? host.substr(0, end + 1) : figures);
}

std::optional<Refusal> refuse(const Request& request, const Reach& reach) {
  const auto host = request.header("host");
  const bool called_right =
      is_loopback_name(host) ? request.loopback : !reach.names.empty() && (is_one_of(host, reach.names) || is_address(host));
  if (!called_right) return Refusal{403, {"server.host_not_local", {"", 0, "Host"}, {{"host", std::string{host}}}, ErrorKind::bad_input}};
  if (!request.loopback && !request.secure && !reach.plain && !is_the_door(request))
    return Refusal{403, {"server.https_needed", {}, {{"host", std::string{host}}}, ErrorKind::bad_input}};
  if (request.method != "POST") return std::nullopt;
  const auto origin = request.header("origin");
  // Programs send no Origin; every browser does with a POST.
  if (!origin.empty() && lower(origin) != (request.secure ? "https://" : "http://") + lower(host)) {
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
  // The counting page has a policy of its own, as strict: it is one file, and names what is in it.
  for (const auto& [name, value] : always) response.headers.emplace(name, value);
  response.headers.emplace("Cache-Control", "no-store");
}

}  // namespace leafturn::server
