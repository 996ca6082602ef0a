#pragma once
/// What is refused before any route is asked: other names than the server's own (against DNS rebinding), POSTs that aren't JSON from its
/// own pages or a program (against cross-site requests), and, off this machine, plain http for anything but the way to https.
/// Who may ask for what is the door's question (door.hpp).

#include <optional>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "server/http.hpp"

namespace leafturn::server {

struct Refusal {
  int status = 400;
  Error error;
};

/// How far the server reaches beyond this machine.
struct Reach {
  std::vector<std::string> names;  ///< lower case, without port, `garden.local`: what it may be asked as from elsewhere; none = not at all
  bool plain = false;              ///< others may use it over plain http too
};

/// 403 `server.host_not_local`, 403 `server.https_needed`, 403 `server.origin_foreign`, 415 `server.not_json_type`.
std::optional<Refusal> refuse(const Request& request, const Reach& reach);

/// `127.0.0.1:8080`, `localhost`, `[::1]:80`.
bool is_loopback_name(std::string_view host);

/// `192.0.2.7:8080`, `[2001:db8::1]`: an address in figures. No name can be made to point elsewhere when none was used, so a server that
/// reaches beyond this machine answers to any of them but the loopback's.
bool is_address(std::string_view host);

/// Content security policy without anything inline (unless the answer has its own), no sniffing, no referrer, no framing; `Cache-Control:
/// no-store` unless the answer has its own.
void add_safety_headers(Response& response);

}  // namespace leafturn::server
