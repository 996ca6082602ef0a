#pragma once
/// A server on 127.0.0.1 that does what a test tells it to with the bytes it sends, and remembers what it was asked.

#include <openssl/ssl.h>

#include <atomic>
#include <chrono>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

namespace leafturn::fetch {

/// What came in.
struct Asked {
  std::string line;                            ///< `GET /x HTTP/1.1`
  std::map<std::string, std::string> headers;  ///< names in lower case
  std::string header(const std::string& name) const;
};

class Connection {
 public:
  Connection(int socket, SSL* tls, const std::atomic<bool>& stop) : socket_{socket}, tls_{tls}, stop_{stop} {}
  /// False once the other end is gone.
  bool send(std::string_view bytes);
  /// A whole answer with its length.
  void answer(int status, std::string_view body, const std::string& headers = "Content-Type: text/csv\r\n");
  /// Until the time is over, the other end is gone or the test is over.
  void wait(std::chrono::milliseconds time) const;
  /// Cuts the connection the hard way (RST).
  void reset() const;
  /// Ends it without the goodbye that TLS has.
  void no_goodbye() { goodbye_ = false; }
  bool goodbye() const { return goodbye_; }

 private:
  int socket_;
  SSL* tls_;
  const std::atomic<bool>& stop_;
  bool goodbye_ = true;
};

/// A private key with its certificate, made for the test.
struct Identity {
  std::string key, certificate;  ///< PEM
};
/// An authority that signs itself.
Identity make_authority();
/// `names`: as `IP:127.0.0.1` or `DNS:example.org`. `days`: until it ends, negative = ended.
Identity make_identity(const Identity& authority, const std::string& names, int days = 30);

class BadServer {
 public:
  /// `turn`: 1 for the first connection, 2 for the second …
  using Script = std::function<void(Connection&, const Asked&, int turn)>;
  explicit BadServer(Script script, const Identity* identity = nullptr);
  ~BadServer();
  BadServer(const BadServer&) = delete;
  BadServer& operator=(const BadServer&) = delete;

  int port() const { return port_; }
  std::string url(const std::string& target = "/station.csv") const;
  std::vector<Asked> asked() const;

 private:
  void run();
  void serve(int socket);

  Script script_;
  bool secure_;
  std::unique_ptr<SSL_CTX, decltype(&SSL_CTX_free)> context_;
  int listening_ = -1;
  int port_ = 0;
  std::atomic<bool> stop_{false};
  mutable std::mutex mutex_;
  std::vector<Asked> asked_;  ///< guarded by mutex_
  std::thread thread_;
};

/// A port of this machine on which nobody listens.
int closed_port();

}  // namespace leafturn::fetch
