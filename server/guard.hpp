#pragma once
/// What keeps other web pages and other machines away from a server that has no passwords: it listens on the loopback only, answers only to
/// a loopback name (against DNS rebinding), and takes a POST only as JSON from its own pages or from a program (against cross-site
/// requests).

#include <optional>

#include "core/base/result.hpp"
#include "server/http.hpp"

namespace leafturn::server {

struct Refusal {
  int status = 400;
  Error error;
};

/// 403 `server.host_not_local`, 403 `server.origin_foreign`, 415 `server.not_json_type`.
std::optional<Refusal> refuse(const Request& request);

/// Content security policy without anything inline, no sniffing, no referrer, no framing; `Cache-Control: no-store` unless the answer has
/// its own.
void add_safety_headers(Response& response);

}  // namespace leafturn::server
