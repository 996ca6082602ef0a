#pragma once
/// A router behind sockets: one loop holds every connection, a few workers run the handlers.

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>

#include "core/base/result.hpp"
#include "server/router.hpp"

namespace leafturn::server {

/// What one asker may cost. Whoever takes longer is cut.
struct Bounds {
  std::size_t body = 1 << 20;               ///< bytes
  std::size_t connections = 768;            ///< together; past it the one idle longest makes room
  std::size_t connections_per_client = 64;  ///< of one address off this machine, the proxy's aside
  std::size_t waiting = 512;                ///< requests handed to the workers and not yet answered: 503 `server.busy` past it
  std::chrono::milliseconds handshake{10'000};
  std::chrono::milliseconds head{10'000};  ///< from a request's first byte to its empty line
  std::chrono::milliseconds body_time{30'000};
  std::chrono::milliseconds write{30'000};        ///< a whole answer
  std::chrono::milliseconds idle{60'000};         ///< between two requests of a connection
  std::chrono::milliseconds heartbeat{20'000};    ///< of a page that listens for news
  std::chrono::milliseconds stop{10'000};         ///< for requests in hand when the server ends
  std::chrono::milliseconds certificate{60'000};  ///< between two looks at whether there is a new one
};

/// PEM texts.
struct Certificate {
  std::string chain;  ///< the server's own first
  std::string key;
};

/// The listener on the garden's network.
struct Lan {
  int port = 8443;  ///< 0 = any free one
  Certificate certificate;
  /// Asked now and then by a worker: another certificate when there is a new one. Connections that stand keep theirs.
  std::function<std::optional<Certificate>()> renewed;
};

/// One answered request, for the log.
struct Served {
  std::string method, path;  ///< without the query
  int status = 0;
  std::size_t bytes = 0;  ///< of the answer's body
  std::chrono::microseconds took{0};
  std::string client;
  bool secure = false;
};

struct Ports {
  int plain = 0;
  int secure = 0;  ///< 0 = none
};

struct ListenOptions {
  int port = 0;                            ///< of plain http; 0 = any free one
  std::function<void(Ports ports)> ready;  ///< called once it answers
  std::function<bool()> stop;              ///< asked ten times a second
  std::optional<Lan> lan = {};             ///< with it: plain http and TLS on every address of this machine
  std::optional<std::string> proxy =
      {};  ///< the one address whose X-Forwarded- headers count. When it isn't this machine's, plain http is on every address
  std::function<std::optional<std::uint64_t>()> last_seq = {};  ///< of the ledger, for news; asked twice a second while somebody listens
  std::function<void(const Served&)> log = {};                  ///< called in the loop: quick
  Bounds bounds = {};
};

/// Answers until `stop` says true; requests in hand are finished. HTTP/1.1 with connections kept, TLS 1.2 and 1.3.
/// An answer with `news` is followed by server-sent events, `event: news` and `data: {"seq":N}`, whenever the ledger has grown, and a
/// comment each heartbeat, before which the request is asked again of the router: whoever may no longer listen is cut. Errors:
/// `server.port_taken`, `server.cannot_listen`, `server.certificate_unusable`, `server.proxy_unreadable`.
Status listen(const Router& router, const ListenOptions& options);

}  // namespace leafturn::server
