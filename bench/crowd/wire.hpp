#pragma once
/// A client's end of one kept connection to 127.0.0.1, and the server at the other.

#include <openssl/ssl.h>
#include <sys/types.h>

#include <string>

namespace leafturn::bench {

class Wire {
 public:
  explicit Wire(int port, bool tls = false);
  ~Wire();
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;
  bool open() const { return socket_ >= 0; }
  /// The status of the answer, its body in `body()`; 0 when the connection broke.
  int get(const std::string& target);
  int post(const std::string& target, const std::string& json);
  const std::string& body() const { return body_; }
  /// Asks for news and waits for the first.
  bool listen_for_news();

 private:
  bool send(const std::string& bytes) const;
  bool receive(std::string& into) const;
  int answer();
  int socket_ = -1;
  SSL* tls_ = nullptr;
  std::string buffer_, body_;
};

/// `leafturn serve` on free ports.
class Server {
 public:
  Server(const std::string& program, const std::string& garden);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;
  int port() const { return port_; }
  int secure_port() const { return secure_port_; }
  double start_s() const { return start_s_; }  ///< from the start of the process to its first whole answer
  double rss_mb() const;                       ///< now
  double peak_mb() const;                      ///< the most so far

 private:
  double status_mb(const char* field) const;
  pid_t child_ = -1;
  int port_ = 0, secure_port_ = 0;
  double start_s_ = -1.0;
};

/// Appends of 4 kB to a file in this folder, each waited for until it is on the disk: how many a second.
double fsync_per_s(const std::string& folder, double seconds);

}  // namespace leafturn::bench
