#include "server/listener.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/ip/v6_only.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "server/transport/asker.hpp"
#include "server/transport/loop.hpp"
#include "server/transport/tls.hpp"

namespace leafturn::server {
namespace {

using namespace std::chrono_literals;
using transport::Loop;
namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;
using Task = asio::awaitable<void>;

auto into(error_code& error) { return asio::redirect_error(asio::use_awaitable, error); }

/// Without SO_REUSEPORT, which lets two servers share a port in silence.
bool bind_to(tcp::acceptor& acceptor, const tcp::endpoint& end) {
  error_code wrong;
  acceptor.open(end.protocol(), wrong);
  if (!wrong) acceptor.set_option(tcp::acceptor::reuse_address(true), wrong);
  if (!wrong && end.protocol() == tcp::v6()) acceptor.set_option(asio::ip::v6_only(false), wrong);
  if (!wrong) acceptor.bind(end, wrong);
  if (!wrong) acceptor.listen(512, wrong);
  if (!wrong) return true;
  error_code ignored;
  acceptor.close(ignored);
  return false;
}

bool bind_to(tcp::acceptor& acceptor, bool everywhere, int port) {
  const auto number = static_cast<std::uint16_t>(port);
  if (!everywhere) return bind_to(acceptor, {asio::ip::address_v4::loopback(), number});
  // Both families on one socket; a machine without IPv6 has the older one.
  return bind_to(acceptor, {asio::ip::address_v6::any(), number}) || bind_to(acceptor, {asio::ip::address_v4::any(), number});
}

Task accept(Loop& loop, tcp::acceptor& acceptor, bool secure) {
  asio::steady_timer breath{loop.io};
  while (!loop.ending) {
    error_code wrong;
    tcp::socket socket = co_await acceptor.async_accept(into(wrong));
    if (!wrong) {
      transport::converse(loop, std::move(socket), secure ? loop.tls : nullptr);
    } else if (!loop.ending) {
      // Out of file descriptors, mostly: the next try succeeds when some connection has ended.
      error_code ignored;
      breath.expires_after(50ms);
      co_await breath.async_wait(into(ignored));
    }
  }
}

void end(Loop& loop, std::vector<tcp::acceptor*> acceptors) {
  loop.ending = true;
  error_code ignored;
  for (auto* acceptor : acceptors) acceptor->close(ignored);
  for (auto* connection : std::vector(loop.connections.begin(), loop.connections.end())) {
    if (connection->idle) {
      connection->cut();
    } else {
      connection->tell();
    }
  }
}

/// Looks ten times a second whether it is over; then waits for requests in hand, within limits.
Task watch_for_stop(Loop& loop, std::vector<tcp::acceptor*> acceptors) {
  asio::steady_timer timer{loop.io};
  error_code ignored;
  while (!(loop.options.stop && loop.options.stop())) {
    timer.expires_after(100ms);
    co_await timer.async_wait(into(ignored));
  }
  end(loop, acceptors);
  const auto latest = std::chrono::steady_clock::now() + loop.options.bounds.stop;
  while (!loop.connections.empty() && std::chrono::steady_clock::now() < latest) {
    timer.expires_after(20ms);
    co_await timer.async_wait(into(ignored));
  }
  for (auto* connection : std::vector(loop.connections.begin(), loop.connections.end())) connection->cut();
}

template <class Value>
asio::awaitable<Value> in_worker(Loop& loop, const std::function<Value()>& work) {
  co_return co_await asio::co_spawn(loop.readers, [&work]() -> asio::awaitable<Value> { co_return work(); }, asio::use_awaitable);
}

/// While anybody listens, asks twice a second how far the ledger is: other processes write to it too, and pages that all come back for each
/// event of a hundred would be no help.
Task watch_ledger(Loop& loop) {
  asio::steady_timer timer{loop.io};
  error_code ignored;
  while (!loop.ending) {
    timer.expires_after(loop.last_seq == 0 ? 50ms : 500ms);
    co_await timer.async_wait(into(ignored));
    const auto listens = [](const auto* one) { return one->listens; };
    if (loop.ending || std::none_of(loop.connections.begin(), loop.connections.end(), listens)) continue;
    const auto seq = co_await in_worker(loop, loop.options.last_seq);
    if (!seq || *seq <= loop.last_seq) continue;
    loop.last_seq = *seq;
    for (auto* connection : loop.connections)
      if (connection->listens) connection->tell();
  }
}

Task watch_certificate(Loop& loop) {
  asio::steady_timer timer{loop.io};
  error_code ignored;
  auto next = std::chrono::steady_clock::now() + loop.options.bounds.certificate;
  while (!loop.ending) {
    timer.expires_after(200ms);  // no longer, or the end would wait for it
    co_await timer.async_wait(into(ignored));
    if (loop.ending || std::chrono::steady_clock::now() < next) continue;
    next += loop.options.bounds.certificate;
    const auto fresh = co_await in_worker(loop, loop.options.lan->renewed);
    if (!fresh) continue;
    if (auto tls = transport::make_tls(*fresh)) loop.tls = std::move(*tls);
  }
}

Status port_taken(int port) { return fail("server.port_taken", {}, {{"port", std::to_string(port)}}, ErrorKind::cannot); }

}  // namespace

Status listen(const Router& router, const ListenOptions& options) {
  Loop loop{router, options};
  if (options.proxy) {
    loop.proxy = transport::plain_address(*options.proxy);
    if (!loop.proxy) return fail("server.proxy_unreadable", {"", 0, "--proxy"}, {{"given", *options.proxy}});
  }
  if (options.lan) {
    auto tls = transport::make_tls(options.lan->certificate);
    if (!tls) return fail(tls.error());
    loop.tls = std::move(*tls);
  }
  const bool everywhere = options.lan || (loop.proxy && !transport::is_loopback_address(*loop.proxy));
  tcp::acceptor plain{loop.io}, plain_six{loop.io}, secure{loop.io};
  if (!bind_to(plain, everywhere, options.port)) return port_taken(options.port);
  // Beside a proxy at 127.0.0.1 the one at this machine comes by ::1; a machine without IPv6 does without.
  const bool six = !everywhere && bind_to(plain_six, {asio::ip::address_v6::loopback(), plain.local_endpoint().port()});
  if (options.lan && !bind_to(secure, true, options.lan->port)) return port_taken(options.lan->port);

  const auto begin = [&](Task task) { asio::co_spawn(loop.io, std::move(task), asio::detached); };
  begin(accept(loop, plain, false));
  if (six) begin(accept(loop, plain_six, false));
  if (options.lan) begin(accept(loop, secure, true));
  if (options.lan && options.lan->renewed) begin(watch_certificate(loop));
  if (options.last_seq) begin(watch_ledger(loop));
  begin(watch_for_stop(loop, {&plain, &plain_six, &secure}));
  const Ports ports{plain.local_endpoint().port(), options.lan ? secure.local_endpoint().port() : 0};
  if (options.ready) asio::post(loop.io, [&] { options.ready(ports); });
  try {
    loop.io.run();
  } catch (const std::exception& broken) {
    loop.io.stop();
    loop.readers.join();
    loop.writers.join();
    return fail("server.cannot_listen", {}, {{"port", std::to_string(ports.plain)}, {"detail", std::string{broken.what()}}},
                ErrorKind::cannot);
  }
  loop.readers.join();
  loop.writers.join();
  return {};
}

}  // namespace leafturn::server
