#include "fetch/watch.hpp"

#include <sys/socket.h>
#include <unistd.h>
#ifdef __linux__
#include <linux/tcp.h>
#include <netinet/in.h>
#endif

namespace leafturn::fetch {
namespace {

using Clock = std::chrono::steady_clock;

std::uint64_t received([[maybe_unused]] int socket) {
#ifdef __linux__
  tcp_info info{};
  socklen_t size = sizeof info;
  if (getsockopt(socket, IPPROTO_TCP, TCP_INFO, &info, &size) == 0) return info.tcpi_bytes_received;
#endif
  return 0;
}

}  // namespace

Watch::Watch(std::chrono::milliseconds whole, std::uint64_t most_bytes) : until_{Clock::now() + whole}, most_bytes_{most_bytes} {
  thread_ = std::thread([this] { run(); });
}

Watch::~Watch() {
  {
    const std::lock_guard lock(mutex_);
    over_ = true;
  }
  wake_.notify_all();
  thread_.join();
  for (const int socket : sockets_) close(socket);
}

void Watch::over(int socket) {
  // A duplicate: its number stays ours, even when the owner has closed the socket and the system gives the number away again.
  const int own = dup(socket);
  const std::lock_guard lock(mutex_);
  if (own >= 0) sockets_.push_back(own);
}

Watch::Ended Watch::ended() const {
  const std::lock_guard lock(mutex_);
  return ended_;
}

std::chrono::milliseconds Watch::silent_for() const {
  const std::lock_guard lock(mutex_);
  return std::chrono::duration_cast<std::chrono::milliseconds>(Clock::now() - last_byte_);
}

void Watch::run() {
  std::unique_lock lock(mutex_);
  while (!over_) {
    look();
    wake_.wait_for(lock, std::chrono::milliseconds(10), [this] { return over_; });
  }
}

void Watch::look() {
  std::uint64_t now = 0;
  for (const int socket : sockets_) now += received(socket);
  if (now != received_) last_byte_ = Clock::now();
  received_ = now;
  if (ended_ == Ended::not_yet && received_ > most_bytes_) ended_ = Ended::too_much;
  if (ended_ == Ended::not_yet && Clock::now() >= until_) ended_ = Ended::out_of_time;
  if (ended_ != Ended::not_yet)
    for (const int socket : sockets_) shutdown(socket, SHUT_RDWR);
}

}  // namespace leafturn::fetch
