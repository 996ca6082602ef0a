#include "server/serve.hpp"

#include <malloc.h>

#include <atomic>
#include <csignal>
#include <thread>

#include "app/access.hpp"
#include "app/certificates.hpp"
#include "app/open_garden.hpp"
#include "app/record.hpp"
#include "app/serving_lock.hpp"
#include "app/x509.hpp"
#include "server/clock.hpp"
#include "server/listener.hpp"
#include "server/log_json.hpp"
#include "server/phone_guide.hpp"
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

/// The garden's network side: names, certificates, and what the guide tells.
struct Network {
  app::NetworkNames names;
  std::optional<app::Certificates> certificates;
  std::atomic<int> plain_port{0}, secure_port{0};
  bool behind_proxy = false;

  /// For phones, without a slash at its end; empty while there is none for them.
  std::string address() const {
    if (secure_port != 0) return "https://" + names.name + ":" + std::to_string(secure_port);
    return behind_proxy ? "https://" + names.name : std::string{};
  }
};

PhoneFacts facts_for_phones(app::OpenGarden& garden, const Network& network, const Clock& clock) {
  PhoneFacts facts;
  if (const auto now = garden.garden_at(clock()); now && now->described) facts.garden = now->described->name;
  facts.name = network.names.name;
  if (const auto fresh = app::network_names(network.names.name); fresh && !fresh->addresses.empty())
    facts.figures = fresh->addresses.front().address;
  facts.plain_port = network.plain_port;
  facts.secure_port = network.secure_port;
  facts.fingerprint = network.certificates->authority_fingerprint;
  return facts;
}

/// The certificate in force, looked at once a minute: made again before it ends, or when this machine's addresses change.
std::optional<Certificate> renewed(const std::string& folder, const std::string& name, Instant now, LineWriter* log) {
  const auto names = app::network_names(name);
  if (!names) return std::nullopt;
  const auto fresh = app::certificates_for(folder, *names, now);
  if (!fresh && log != nullptr) log->write(event_line(now, "certificate_not_renewed", {{"code", fresh.error().code}}));
  if (!fresh || !fresh->renewed) return std::nullopt;
  if (log != nullptr) log->write(event_line(now, "certificate_renewed", {{"ends", fresh->ends.iso_utc()}}));
  return Certificate{fresh->chain_pem, fresh->key_pem};
}

Status open_to_network(const ServeOptions& options, app::OpenGarden& garden, const Clock& clock, Network& network, Router& router,
                       ListenOptions& listening, LineWriter* log) {
  if (!options.lan && !options.proxy) return {};
  auto names = app::network_names(options.name);
  if (!names) return fail(names.error());
  network.names = std::move(*names);
  // A proxy answers for TLS itself, so what comes from it as https is; what comes as http stays refused unless it was asked for.
  router.reach({{network.names.name}, options.lan && options.lan->plain});
  listening.proxy = options.proxy;
  network.behind_proxy = options.proxy.has_value();
  if (!options.lan) return {};
  auto made = app::certificates_for(options.folder, network.names, clock());
  if (!made) return fail(made.error());
  network.certificates = std::move(*made);
  auto der = app::certificate_der(network.certificates->authority_pem);
  if (!der) return fail(der.error());
  add_phone_guide(router, std::move(*der), [&garden, &network, &clock] { return facts_for_phones(garden, network, clock); });
  listening.lan = Lan{options.lan->port,
                      {network.certificates->chain_pem, network.certificates->key_pem},
                      [&options, &network, &clock, log] { return renewed(options.folder, network.names.name, clock(), log); }};
  return {};
}

}  // namespace

Status serve(const ServeOptions& options) {
#ifdef __GLIBC__
  // With a heap each, a hundred threads keep what each of them once needed.
  mallopt(M_ARENA_MAX, 1);
#endif
  auto garden = app::OpenGarden::open(options.folder);
  if (!garden) return fail(garden.error());
  auto access = app::Access::open(options.folder);
  if (!access) return fail(access.error());
  const auto alone = app::ServingLock::take(options.folder);
  if (!alone) return fail(alone.error());
  const Clock clock = system_clock();
  // Sprays that couldn't be judged when they came in. Where they still can't be, their beds stay closed.
  (void)app::judge_waiting(**garden, clock());
  std::optional<LineWriter> log;
  if (options.log) log.emplace(stderr);
  LineWriter* const lines = log ? &*log : nullptr;
  Network network;
  Router router = make_router(**garden, **access, clock, [&] { return network.address(); });
  ListenOptions listening;
  listening.port = options.port;
  std::jthread first_brief;  // made before anybody asks: whoever came first would wait for the whole season's counts
  if (auto opened = open_to_network(options, **garden, clock, network, router, listening, lines); !opened) return opened;
  listening.ready = [&](Ports ports) {
    network.plain_port = ports.plain;
    network.secure_port = ports.secure;
    if (lines != nullptr)
      lines->write(event_line(clock(), "serving", {{"port", std::to_string(ports.plain)}, {"secure_port", std::to_string(ports.secure)}}));
    first_brief = std::jthread([&router] {
      Request brief;
      brief.method = "GET";
      brief.path = "/api/brief";
      brief.headers = {{"host", "localhost"}};
      brief.loopback = true;
      (void)router.handle(brief);
    });
    if (!options.ready) return;
    Serving serving{ports.plain, ports.secure, network.names.name, {}, {}};
    if (network.certificates) {
      serving.fingerprint = network.certificates->authority_fingerprint;
      serving.outside = network.certificates->outside;
    }
    options.ready(serving);
  };
  const Signals signals;
  listening.stop = [&] { return signalled != 0 || (options.stop && options.stop()); };
  listening.last_seq = [&]() -> std::optional<std::uint64_t> {
    const auto seq = (*garden)->ledger().last_seq();
    return seq ? std::optional{*seq} : std::nullopt;
  };
  if (lines != nullptr) listening.log = [&clock, lines](const Served& served) { lines->write(request_line(clock(), served)); };
  auto served = listen(router, listening);
  if (lines != nullptr) lines->write(event_line(clock(), "stopped"));
  return served;
}

}  // namespace leafturn::server
