#include "server/listener.hpp"

#include <httplib.h>

#include <algorithm>
#include <atomic>
#include <cctype>
#include <chrono>
#include <thread>

#include "server/error_json.hpp"
#include "server/guard.hpp"

namespace leafturn::server {
namespace {

constexpr std::size_t most_body = 1 << 20;

Request plain(const httplib::Request& from) {
  Request request;
  request.method = from.method;
  request.path = from.path;
  for (const auto& [name, value] : from.params) request.query.emplace(name, value);
  for (const auto& [name, value] : from.headers) {
    std::string lower = name;
    std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    request.headers.emplace(std::move(lower), value);
  }
  request.body = from.body;
  request.client = from.remote_addr;
  request.loopback = from.remote_addr == "127.0.0.1" || from.remote_addr == "::1";
  return request;
}

void hand_over(Response&& from, httplib::Response& to) {
  to.status = from.status;
  to.headers.clear();
  for (auto& [name, value] : from.headers) to.set_header(name, value);
  to.set_content(from.body, from.type);
}

/// What the HTTP library itself refuses, before a route sees it.
Error library_error(int status, const Request& request) {
  switch (status) {
    case 404:
      return {"server.no_such_page", {}, {{"path", request.path}}, ErrorKind::not_found};
    case 413:
      return {"server.body_too_large", {}, {{"most", std::int64_t{most_body}}}, ErrorKind::bad_input};
    case 414:
      return {"server.address_too_long", {}, {}, ErrorKind::bad_input};
    default:
      return {"server.request_unreadable", {}, {}, ErrorKind::bad_input};
  }
}

/// Without the library's own SO_REUSEPORT, which lets two servers share a port in silence.
void socket_options(socket_t socket) {
  const int yes = 1;
  setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
}

void configure(httplib::Server& server, const Router& router) {
  server.new_task_queue = [] { return new httplib::ThreadPool(6); };
  server.set_payload_max_length(most_body);
  // One request per connection: what follows a refused body is then never read as a request of its own.
  server.set_keep_alive_max_count(1);
  server.set_read_timeout(5, 0);
  server.set_write_timeout(5, 0);
  server.set_idle_interval(0, 100000);
  server.set_tcp_nodelay(true);
  server.set_socket_options(socket_options);
  server.set_pre_routing_handler([](const httplib::Request& request, httplib::Response& response) {
    // A chunked body has no length to hold against the limit.
    if (!request.has_header("Transfer-Encoding")) return httplib::Server::HandlerResponse::Unhandled;
    auto refused = error_response(411, {"server.length_needed", {"", 0, "Content-Length"}, {}, ErrorKind::bad_input}, plain(request));
    add_safety_headers(refused);
    hand_over(std::move(refused), response);
    return httplib::Server::HandlerResponse::Handled;
  });
  const httplib::Server::Handler answer = [&router](const httplib::Request& request, httplib::Response& response) {
    hand_over(router.handle(plain(request)), response);
  };
  server.Get(".*", answer);
  server.Post(".*", answer);
  server.Put(".*", answer);
  server.Patch(".*", answer);
  server.Delete(".*", answer);
  server.Options(".*", answer);
  const httplib::Server::Handler say_error = [](const httplib::Request& request, httplib::Response& response) {
    if (!response.body.empty()) return;  // ours, with its own status
    const auto asked = plain(request);
    auto error = error_response(response.status, library_error(response.status, asked), asked);
    add_safety_headers(error);
    hand_over(std::move(error), response);
  };
  server.set_error_handler(say_error);
}

}  // namespace

Status listen(const Router& router, const ListenOptions& options) {
  httplib::Server server;
  configure(server, router);
  const int port =
      options.port == 0 ? server.bind_to_any_port("127.0.0.1") : (server.bind_to_port("127.0.0.1", options.port) ? options.port : -1);
  if (port < 0) return fail("server.port_taken", {}, {{"port", std::to_string(options.port)}}, ErrorKind::cannot);

  std::atomic<bool> ended{false};
  std::jthread watch([&] {
    bool announced = false;
    while (!ended) {
      if (!announced && server.is_running()) {
        announced = true;
        if (options.ready) options.ready(port);
      }
      if (options.stop && options.stop()) {
        // stop() before listen_after_bind() has begun would be lost, so it is said until the loop has ended.
        server.stop();
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(announced ? 100 : 5));
    }
  });
  const bool clean = server.listen_after_bind();
  ended = true;
  if (!clean && !(options.stop && options.stop()))
    return fail("server.cannot_listen", {}, {{"port", std::to_string(port)}}, ErrorKind::cannot);
  return {};
}

}  // namespace leafturn::server
