#include "bench/crowd/wire.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/tcp.h>
#include <signal.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <fstream>
#include <nlohmann/json.hpp>
#include <thread>
#include <vector>

extern char** environ;

namespace leafturn::bench {
namespace {

SSL_CTX* client_tls() {
  static SSL_CTX* const context = SSL_CTX_new(TLS_client_method());  // checks nothing: this measures, tests/server checks
  return context;
}

double seconds_since(std::chrono::steady_clock::time_point began) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
}

}  // namespace

Wire::Wire(int port, bool tls) : socket_{socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)} {
  sockaddr_in to{};
  to.sin_family = AF_INET;
  to.sin_port = htons(static_cast<std::uint16_t>(port));
  to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  const int yes = 1;
  setsockopt(socket_, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
  bool good = connect(socket_, reinterpret_cast<sockaddr*>(&to), sizeof to) == 0;
  if (good && tls) {
    tls_ = SSL_new(client_tls());
    SSL_set_fd(tls_, socket_);
    good = SSL_connect(tls_) == 1;
  }
  if (good) return;
  close(socket_);
  socket_ = -1;
}

Wire::~Wire() {
  SSL_free(tls_);
  if (socket_ >= 0) close(socket_);
}

bool Wire::send(const std::string& bytes) const {
  if (tls_ != nullptr) return SSL_write(tls_, bytes.data(), static_cast<int>(bytes.size())) == static_cast<int>(bytes.size());
  for (std::size_t sent = 0; sent < bytes.size();) {
    const ssize_t n = ::send(socket_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
    if (n <= 0) return false;
    sent += static_cast<std::size_t>(n);
  }
  return true;
}

bool Wire::receive(std::string& into) const {
  std::array<char, 65536> some{};
  const auto n = tls_ != nullptr ? SSL_read(tls_, some.data(), static_cast<int>(some.size())) : recv(socket_, some.data(), some.size(), 0);
  if (n <= 0) return false;
  into.append(some.data(), static_cast<std::size_t>(n));
  return true;
}

int Wire::answer() {
  std::size_t end = 0;
  while ((end = buffer_.find("\r\n\r\n")) == std::string::npos)
    if (!receive(buffer_)) return 0;
  const auto length_at = buffer_.find("Content-Length: ");
  if (length_at == std::string::npos || length_at > end) return 0;
  const std::size_t whole = end + 4 + std::stoul(buffer_.substr(length_at + 16, 20));
  while (buffer_.size() < whole)
    if (!receive(buffer_)) return 0;
  const int status = std::stoi(buffer_.substr(9, 3));
  body_ = buffer_.substr(end + 4, whole - end - 4);
  buffer_.erase(0, whole);
  return status;
}

int Wire::get(const std::string& target) { return send("GET " + target + " HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n") ? answer() : 0; }

int Wire::post(const std::string& target, const std::string& json) {
  const std::string head = "POST " + target + " HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: ";
  return send(head + std::to_string(json.size()) + "\r\n\r\n" + json) ? answer() : 0;
}

bool Wire::listen_for_news() {
  if (!send("GET /api/news HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")) return false;
  std::string got;
  while (got.find("event: news") == std::string::npos)
    if (!receive(got)) return false;
  return true;
}

Server::Server(const std::string& program, const std::string& garden) {
  std::vector<std::string> words{program, "serve",      "--garden", garden,   "--port",      "0",
                                 "--lan", "--lan-port", "0",        "--name", "bench.local", "--json"};
  std::vector<char*> argv;
  for (auto& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  std::array<int, 2> out{};
  if (pipe2(out.data(), O_CLOEXEC) != 0) return;
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, out[1], 1);
  const auto began = std::chrono::steady_clock::now();
  const bool started = posix_spawn(&child_, argv[0], &actions, nullptr, argv.data(), environ) == 0;
  posix_spawn_file_actions_destroy(&actions);
  close(out[1]);
  std::string said;
  std::array<char, 4096> some{};
  for (ssize_t n = 0; started && said.find('\n') == std::string::npos && (n = read(out[0], some.data(), some.size())) > 0;)
    said.append(some.data(), static_cast<std::size_t>(n));
  close(out[0]);
  const auto ready = nlohmann::json::parse(said, nullptr, false);
  if (!ready.is_object()) return;
  port_ = ready.value("port", 0);
  secure_port_ = ready.value("secure_port", 0);
  Wire first(port_);
  if (first.get("/api/garden") == 200) start_s_ = seconds_since(began);
}

Server::~Server() {
  if (child_ <= 0) return;
  kill(child_, SIGTERM);
  waitpid(child_, nullptr, 0);
}

double Server::status_mb(const char* field) const {
  std::ifstream status("/proc/" + std::to_string(child_) + "/status");
  for (std::string line; std::getline(status, line);)
    if (line.starts_with(field)) return std::stod(line.substr(line.find(':') + 1)) / 1024.0;
  return -1.0;
}
double Server::rss_mb() const { return status_mb("VmRSS"); }
double Server::peak_mb() const { return status_mb("VmHWM"); }

double fsync_per_s(const std::string& folder, double seconds) {
  const std::string path = folder + "/fsync-probe";
  const int file = open(path.c_str(), O_CREAT | O_TRUNC | O_WRONLY | O_CLOEXEC, 0600);
  const std::string block(4096, 'x');
  const auto began = std::chrono::steady_clock::now();
  int done = 0;
  bool good = file >= 0;
  for (; good && seconds_since(began) < seconds; ++done)
    good = write(file, block.data(), block.size()) == static_cast<ssize_t>(block.size()) && fdatasync(file) == 0;
  const double rate = done / seconds_since(began);
  close(file);
  unlink(path.c_str());
  return good ? rate : -1.0;
}

}  // namespace leafturn::bench
