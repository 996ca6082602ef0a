#pragma once
/// A router behind a socket on 127.0.0.1.

#include <functional>

#include "core/base/result.hpp"
#include "server/router.hpp"

namespace leafturn::server {

struct ListenOptions {
  int port = 0;                         ///< 0 = any free one
  std::function<void(int port)> ready;  ///< called once it answers
  std::function<bool()> stop;           ///< asked ten times a second
};

/// Answers until `stop` says true; requests in hand are finished. Bodies up to 1 MB, one request per connection, five seconds to read and
/// write. Errors: `server.port_taken`, `server.cannot_listen`.
Status listen(const Router& router, const ListenOptions& options);

}  // namespace leafturn::server
