#include <array>

#include "embedded/web.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {
namespace {

const char* type_of(std::string_view name) {
  static constexpr std::array<std::pair<std::string_view, const char*>, 4> types{{
      {".js", "text/javascript; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".webmanifest", "application/manifest+json"},
  }};
  for (const auto& [ending, type] : types)
    if (name.ends_with(ending)) return type;
  return "text/html; charset=utf-8";
}

}  // namespace

std::string_view page_bytes(std::string_view name) {
  for (const auto& file : embedded::web())
    if (file.name == name) return file.bytes;
  return {};
}

std::string_view pages_version() { return page_bytes("version.txt"); }

Response page_file(std::string_view name, const Request& request) {
  const auto bytes = page_bytes(name);
  if (bytes.empty()) return error_response(404, {"server.no_such_page", {}, {{"path", request.path}}, ErrorKind::not_found}, request);
  Response response;
  response.type = type_of(name);
  response.body = std::string{bytes};
  response.headers["Cache-Control"] = "no-cache";
  return response;
}

}  // namespace leafturn::server
