#pragma once
/// A small router served on a free port for one test, and sockets that send bytes as they are.

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <thread>

#include "server/listener.hpp"

namespace leafturn::test {

/// A connection to 127.0.0.1.
class Wire {
 public:
  explicit Wire(int port);
  ~Wire();
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;
  /// False when the other end no longer takes it.
  bool send(const std::string& bytes) const;
  /// All that comes until the other end closes or `until` has come, at most for `most`.
  std::string read(const std::string& until = {}, std::chrono::milliseconds most = std::chrono::seconds(20)) const;
  /// The whole of one answer that says its length.
  std::string answer() const;
  /// True when the other end closes within the time.
  bool ends(std::chrono::milliseconds within) const;

 private:
  int socket_;
};

class Listening {
 public:
  /// `prepare` may add routes and change options before the server listens.
  explicit Listening(const std::function<void(server::Router&, server::ListenOptions&)>& prepare = {});
  ~Listening() { stop(); }
  void stop();
  /// Bytes as they are on a fresh connection, and all that comes back until it is closed.
  std::string raw(const std::string& bytes) const;

  int port = 0, secure_port = 0;
  std::atomic<int> posts{0};
  Status status;

 private:
  server::Router router_;
  std::atomic<bool> stop_{false};
  std::jthread thread_;
};

inline std::string get(const std::string& target, const std::string& more = {}) {
  return "GET " + target + " HTTP/1.1\r\nHost: 127.0.0.1\r\n" + more + "\r\n";
}
inline std::string post(const std::string& target, const std::string& body, const std::string& more = {}) {
  return "POST " + target + " HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n" + more +
         "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
}

}  // namespace leafturn::test
