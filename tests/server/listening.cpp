#include "tests/server/listening.hpp"

#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <future>

namespace leafturn::test {

using server::ListenOptions;
using server::Ports;
using server::Request;
using server::Response;
using server::Router;

Wire::Wire(int port) : socket_{socket(AF_INET, SOCK_STREAM, 0)} {
  sockaddr_in to{};
  to.sin_family = AF_INET;
  to.sin_port = htons(static_cast<std::uint16_t>(port));
  inet_pton(AF_INET, "127.0.0.1", &to.sin_addr);
  EXPECT_EQ(connect(socket_, reinterpret_cast<sockaddr*>(&to), sizeof to), 0);
}

Wire::~Wire() { close(socket_); }

bool Wire::send(const std::string& bytes) const {
  std::size_t sent = 0;
  while (sent < bytes.size()) {
    const ssize_t n = ::send(socket_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
    if (n <= 0) return false;
    sent += static_cast<std::size_t>(n);
  }
  return true;
}

std::string Wire::read(const std::string& until, std::chrono::milliseconds most) const {
  const auto latest = std::chrono::steady_clock::now() + most;
  std::string got;
  std::array<char, 65536> some{};
  while (until.empty() || got.find(until) == std::string::npos) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(latest - std::chrono::steady_clock::now()).count();
    pollfd ready{socket_, POLLIN, 0};
    if (left <= 0 || poll(&ready, 1, static_cast<int>(left)) <= 0) break;
    const ssize_t n = recv(socket_, some.data(), some.size(), 0);
    if (n <= 0) break;
    got.append(some.data(), static_cast<std::size_t>(n));
  }
  return got;
}

std::string Wire::answer() const {
  std::string got = read("\r\n\r\n");
  const auto body = got.find("\r\n\r\n");
  const auto length = got.find("Content-Length: ");
  if (body == std::string::npos || length == std::string::npos) return got;
  const std::size_t whole = body + 4 + std::stoul(got.substr(length + 16));
  while (got.size() < whole) {
    std::array<char, 65536> some{};
    const ssize_t n = recv(socket_, some.data(), std::min(some.size(), whole - got.size()), 0);
    if (n <= 0) break;
    got.append(some.data(), static_cast<std::size_t>(n));
  }
  return got;
}

bool Wire::ends(std::chrono::milliseconds within) const {
  const auto began = std::chrono::steady_clock::now();
  read({}, within + std::chrono::seconds(1));
  return std::chrono::steady_clock::now() - began < within;
}

Listening::Listening(const std::function<void(Router&, ListenOptions&)>& prepare) {
  router_.add("GET", "/hello",
              [](const Request& request) { return Response{200, "text/plain", request.asked("who") ? *request.asked("who") : "", {}}; });
  router_.add("POST", "/size", [this](const Request& request) {
    ++posts;
    return Response{200, "text/plain", std::to_string(request.body.size()), {}};
  });
  ListenOptions options;
  options.stop = [this] { return stop_.load(); };
  if (prepare) prepare(router_, options);
  std::promise<Ports> promise;
  auto bound = promise.get_future();
  thread_ = std::jthread([this, asked = std::move(options), told = std::move(promise)]() mutable {
    bool said = false;
    asked.ready = [&](Ports at) {
      said = true;
      told.set_value(at);
    };
    status = listen(router_, asked);
    if (!said) told.set_value({});
  });
  const Ports ports = bound.get();
  port = ports.plain;
  secure_port = ports.secure;
}

void Listening::stop() {
  stop_ = true;
  if (thread_.joinable()) thread_.join();
}

std::string Listening::raw(const std::string& bytes) const {
  const Wire wire(port);
  wire.send(bytes);
  return wire.read();
}

}  // namespace leafturn::test
