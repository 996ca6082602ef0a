#pragma once
/// Holds a connection to its time and its size from outside, because a library that waits for the next byte can be kept waiting by one byte
/// now and then, and one that collects a header can be made to collect for ever.

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <mutex>
#include <thread>
#include <vector>

namespace leafturn::fetch {

class Watch {
 public:
  /// `most_bytes` counts everything received, where the system tells (Linux).
  Watch(std::chrono::milliseconds whole, std::uint64_t most_bytes);
  ~Watch();
  Watch(const Watch&) = delete;
  Watch& operator=(const Watch&) = delete;

  /// From now on this socket too is shut down when time or bytes run out. It may be closed by its owner at any time.
  void over(int socket);

  enum class Ended { not_yet, out_of_time, too_much };
  Ended ended() const;
  /// Since bytes last came in (or since the beginning).
  std::chrono::milliseconds silent_for() const;

 private:
  void run();
  void look();

  const std::chrono::steady_clock::time_point until_;
  const std::uint64_t most_bytes_;
  mutable std::mutex mutex_;  ///< guards what follows
  std::condition_variable wake_;
  std::vector<int> sockets_;
  std::uint64_t received_ = 0;
  std::chrono::steady_clock::time_point last_byte_ = std::chrono::steady_clock::now();
  Ended ended_ = Ended::not_yet;
  bool over_ = false;
  std::thread thread_;
};

}  // namespace leafturn::fetch
