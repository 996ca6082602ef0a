#include "server/serve.hpp"

#include <csignal>

#include "app/open_garden.hpp"
#include "server/clock.hpp"
#include "server/listener.hpp"
#include "server/routes.hpp"

namespace leafturn::server {
namespace {

volatile std::sig_atomic_t signalled = 0;  // NOLINT: a signal handler can reach nothing else

extern "C" void on_signal(int) { signalled = 1; }

/// Our handlers for as long as it lives.
class Signals {
 public:
  Signals() : interrupt_{std::signal(SIGINT, on_signal)}, terminate_{std::signal(SIGTERM, on_signal)} { signalled = 0; }
  ~Signals() {
    std::signal(SIGINT, interrupt_);
    std::signal(SIGTERM, terminate_);
  }
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;

 private:
  void (*interrupt_)(int);
  void (*terminate_)(int);
};

}  // namespace

Status serve(const ServeOptions& options) {
  auto garden = app::OpenGarden::open(options.folder);
  if (!garden) return fail(garden.error());
  const Router router = make_router(**garden, system_clock());
  const Signals signals;
  ListenOptions listening;
  listening.port = options.port;
  listening.ready = [&](Ports ports) {
    if (options.ready) options.ready(ports.plain);
  };
  listening.stop = [&] { return signalled != 0 || (options.stop && options.stop()); };
  listening.last_seq = [&]() -> std::optional<std::uint64_t> {
    const auto seq = (*garden)->ledger().last_seq();
    return seq ? std::optional{*seq} : std::nullopt;
  };
  return listen(router, listening);
}

}  // namespace leafturn::server
