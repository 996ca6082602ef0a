#pragma once
/// The server's log: one JSON object a line, for the machine's own journal. No query, no body, no cookie, no name of a person.

#include <condition_variable>
#include <cstdio>
#include <deque>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>

#include "core/base/date.hpp"
#include "core/base/fact.hpp"
#include "server/listener.hpp"

namespace leafturn::server {

/// `{"at", "event": "request", "method", "path", "status", "ms", "bytes", "client", "secure"}`
std::string request_line(Instant at, const Served& served);
/// `{"at", "event", …facts}`
std::string event_line(Instant at, std::string_view event, const std::vector<std::pair<std::string, std::string>>& facts = {});

/// Lines written by a thread of its own, so that a full pipe stops no request. What can't be kept is dropped and counted: a line
/// `{"event": "log_lines_dropped", "n"}` says so.
class LineWriter {
 public:
  explicit LineWriter(std::FILE* to, std::size_t most = 8192);
  ~LineWriter();  ///< writes what it has
  LineWriter(const LineWriter&) = delete;
  LineWriter& operator=(const LineWriter&) = delete;
  void write(std::string line);

 private:
  void run();
  std::FILE* to_;
  std::size_t most_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::string> lines_;
  std::size_t dropped_ = 0;
  bool ending_ = false;
  std::thread thread_;
};

}  // namespace leafturn::server
