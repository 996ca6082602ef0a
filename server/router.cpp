#include "server/router.hpp"

#include <exception>
#include <set>

#include "server/error_json.hpp"

namespace leafturn::server {
namespace {

/// Takes the next part of a path that starts with a slash.
std::string_view take_part(std::string_view& rest) {
  rest.remove_prefix(1);
  const auto end = rest.find('/');
  const auto part = rest.substr(0, end);
  rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end);
  return part;
}

}  // namespace

bool match(const std::string& pattern, const std::string& path, std::map<std::string, std::string>& captured) {
  std::string_view left{pattern}, right{path};
  while (!left.empty() && !right.empty()) {
    if (left.front() != '/' || right.front() != '/') return false;
    const auto want = take_part(left);
    const auto have = take_part(right);
    if (want.size() > 2 && want.front() == '{' && want.back() == '}') {
      if (have.empty()) return false;
      captured[std::string{want.substr(1, want.size() - 2)}] = std::string{have};
    } else if (want != have) {
      return false;
    }
  }
  return left.empty() && right.empty();
}

void Router::add(std::string method, std::string pattern, Handler handler) {
  routes_.push_back({std::move(method), std::move(pattern), std::move(handler)});
}

Response Router::route(const Request& request) const {
  const std::string method = request.method == "HEAD" ? "GET" : request.method;
  std::set<std::string> others;
  for (const auto& route : routes_) {
    Request matched = request;
    if (!match(route.pattern, request.path, matched.captured)) continue;
    if (route.method == method) return route.handler(matched);
    others.insert(route.method);
  }
  if (others.empty()) {
    return error_response(404, {"server.no_such_page", {}, {{"path", request.path}}, ErrorKind::not_found}, request);
  }
  std::string allow;
  for (const auto& other : others) allow += (allow.empty() ? "" : ", ") + other;
  auto response = error_response(
      405, {"server.method_not_allowed", {}, {{"method", request.method}, {"allowed", allow}}, ErrorKind::bad_input}, request);
  response.headers["Allow"] = allow;
  return response;
}

Response Router::handle(const Request& request) const {
  Response response;
  if (const auto refused = refuse(request, reach_)) {
    response = error_response(refused->status, refused->error, request);
  } else {
    try {
      response = route(request);
    } catch (const std::exception& broken) {
      // A handler that throws is our own mistake or an exhausted machine; the reader is told and the server stays up.
      response = error_response(500, {"server.broken", {}, {{"detail", std::string{broken.what()}}}, ErrorKind::cannot}, request);
    }
  }
  add_safety_headers(response);
  return response;
}

}  // namespace leafturn::server
