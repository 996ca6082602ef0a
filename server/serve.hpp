#pragma once
/// The pages and the API of one garden: on this machine, and for whoever asks it to, on the garden's own network or behind a proxy.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"

namespace leafturn::server {

/// On every address of this machine: https with the garden's own certificate, and over plain http how a phone comes to trust it.
struct LanOptions {
  int port = 8443;     ///< of https; 0 = any free one
  bool plain = false;  ///< plain http serves paired devices too, not only the way in
};

/// What is served where, once it is.
struct Serving {
  int port = 0;                      ///< of plain http
  int secure_port = 0;               ///< 0 = none
  std::string name;                  ///< `garden.local`; empty = on this machine only
  std::string fingerprint;           ///< of the garden's authority, for phones to be compared with
  std::vector<std::string> outside;  ///< addresses of this machine that its certificate can't name
};

struct ServeOptions {
  std::string folder;                                   ///< the garden's folder: it must hold a ledger
  int port = 0;                                         ///< 0 = any free one
  std::function<void(const Serving& serving)> ready{};  ///< called once it answers: say where
  std::function<bool()> stop{};                         ///< asked ten times a second; absent = only a signal stops it
  std::optional<LanOptions> lan{};
  std::string name{};                  ///< what it is called on the network; empty = this machine's name with `.local`
  std::optional<std::string> proxy{};  ///< the one address whose X-Forwarded- headers count; `name` is then the proxy's own
  bool log = false;                    ///< JSON lines to standard error
};

/// Serves until `stop` says so or SIGINT or SIGTERM arrives; requests in hand are finished, handlers of the signals are put back.
/// Errors: those of app::OpenGarden::open, app::Access::open, app::certificates_for, app::network_names and listen().
Status serve(const ServeOptions& options);

}  // namespace leafturn::server
