#pragma once
/// The pages and the API of one garden, on 127.0.0.1.

#include <functional>
#include <string>

#include "core/base/result.hpp"

namespace leafturn::server {

struct ServeOptions {
  std::string folder;                   ///< the garden's folder: it must hold a ledger
  int port = 0;                         ///< 0 = any free one
  std::function<void(int port)> ready;  ///< called once it answers: say where
  std::function<bool()> stop;           ///< asked ten times a second; absent = only a signal stops it
};

/// Serves until `stop` says so or SIGINT or SIGTERM arrives; requests in hand are finished, handlers of the signals are put back.
/// Errors: those of app::OpenGarden::open, `server.port_taken`, `server.cannot_listen`.
Status serve(const ServeOptions& options);

}  // namespace leafturn::server
