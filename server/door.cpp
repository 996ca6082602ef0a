#include "server/door.hpp"

#include "server/error_json.hpp"

namespace leafturn::server {
namespace {

/// Over TLS under a name that browsers let nobody set but this host, over TLS, for all its paths (RFC 6265bis, __Host- prefix).
std::string_view cookie_name(bool secure) { return secure ? "__Host-leafturn" : "leafturn"; }

bool is_page(const Request& request) { return request.method != "POST" && !request.path.starts_with("/api/"); }

Response to_pairing() {
  Response response;
  response.status = 303;
  response.type = "text/plain; charset=utf-8";
  response.headers["Location"] = "/pair";
  return response;
}

Response keep_out(const char* code, const Request& request, bool take_cookie) {
  Response response = is_page(request) ? to_pairing() : error_response(401, {code, {}, {}, ErrorKind::bad_input}, request);
  if (take_cookie) response.headers["Set-Cookie"] = no_cookie(request.secure);
  return response;
}

Response not_this_role(const app::Who& who, app::Action action, const Request& request) {
  if (is_page(request)) {
    Response page = page_file("index.html", request);
    page.status = 403;
    return page;
  }
  return error_response(403,
                        {"access.not_your_role",
                         {},
                         {{"role", Term{"access.role." + std::string(app::word_for(who.role))}},
                          {"action", Term{"access.action." + std::string(app::word_for(action))}}},
                         ErrorKind::bad_input},
                        request);
}

}  // namespace

std::string secret_in(const Request& request) {
  std::string_view rest = request.header("cookie");
  const std::string_view name = cookie_name(request.secure);
  while (!rest.empty()) {
    while (!rest.empty() && (rest.front() == ' ' || rest.front() == ';')) rest.remove_prefix(1);
    const auto end = rest.find(';');
    const auto one = rest.substr(0, end);
    if (one.size() > name.size() && one.starts_with(name) && one[name.size()] == '=') return std::string(one.substr(name.size() + 1));
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end);
  }
  return {};
}

std::string cookie_for(const std::string& secret, Duration lasts, bool secure) {
  return std::string(cookie_name(secure)) + "=" + secret + "; Path=/; Max-Age=" + std::to_string(lasts.microseconds / 1'000'000) +
         "; HttpOnly; SameSite=Strict" + (secure ? "; Secure" : "");
}

std::string no_cookie(bool secure) { return cookie_for("", Duration{}, secure); }

Response too_often_response(Duration wait, const Request& request) {
  const std::int64_t seconds = wait.microseconds / 1'000'000;
  auto response = error_response(429, {"access.too_often", {}, {{"seconds", seconds}}, ErrorKind::cannot}, request);
  response.headers["Retry-After"] = std::to_string(seconds);
  return response;
}

std::variant<app::Who, Response> at_door(Site& site, const Request& request, app::Action action) {
  const Instant now = site.clock();
  if (action == app::Action::anyone) {
    if (!request.loopback)
      if (const auto wait = site.limits.too_often(Limits::Of::request, request.client, now)) return too_often_response(*wait, request);
    return app::Who{};
  }
  const std::string secret = secret_in(request);
  if (secret.empty()) {
    if (request.loopback) return app::Who{app::Role::lead, {}, {}};
    if (const auto wait = site.limits.too_often(Limits::Of::request, request.client, now)) return too_often_response(*wait, request);
    return keep_out("access.not_paired", request, false);
  }
  const auto who = site.access.who(secret, now);
  if (!who) return error_response(who.error(), request);
  // A device is counted by its session, so that many behind one address don't use up each other's measure.
  const std::string asker = *who ? (*who)->session->id.text() : request.client;
  if (!request.loopback)
    if (const auto wait = site.limits.too_often(Limits::Of::request, asker, now)) return too_often_response(*wait, request);
  if (!*who) return keep_out("access.session_ended", request, true);
  if (!app::may((*who)->role, action)) return not_this_role(**who, action, request);
  if (request.method == "POST" && !app::token_fits(secret, request.header("x-leafturn-token")))
    return error_response(403, {"access.no_token", {"", 0, "X-Leafturn-Token"}, {}, ErrorKind::bad_input}, request);
  return **who;
}

}  // namespace leafturn::server
