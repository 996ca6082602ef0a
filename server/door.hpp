#pragma once
/// Who asks, and may they? Every route passes here before its handler is called.

#include <optional>
#include <string>
#include <variant>

#include "app/access.hpp"
#include "server/site.hpp"

namespace leafturn::server {

/// Who may go in, or the answer that keeps them out. Somebody at this computer without a cookie acts as lead; everybody else needs a live
/// session and a role that may do it, and, for a write, the session's token in `X-Leafturn-Token`.
/// 401 `access.not_paired` (no cookie), 401 `access.session_ended` (and the cookie is taken back), 403 `access.not_your_role`,
/// 403 `access.no_token`, 429 `access.too_often`. Off the API, who isn't paired is led to /pair, and a role that may not see a page gets
/// the bare page with 403: its script says so.
std::variant<app::Who, Response> at_door(Site& site, const Request& request, app::Action action);

/// The secret a cookie carries; empty when there is none.
std::string secret_in(const Request& request);
/// Hands the device its secret until `lasts` is over: out of reach for scripts and other sites; over TLS, never without it.
std::string cookie_for(const std::string& secret, Duration lasts, bool secure);
/// Takes it back.
std::string no_cookie(bool secure);

/// 429, with how long to wait.
Response too_often_response(Duration wait, const Request& request);

}  // namespace leafturn::server
