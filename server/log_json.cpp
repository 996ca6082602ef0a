#include "server/log_json.hpp"

#include <nlohmann/json.hpp>

namespace leafturn::server {
namespace {

using nlohmann::ordered_json;

std::string line_of(const ordered_json& object) {
  // A path may hold any bytes; they are shown as replacement characters, never as a broken line.
  return object.dump(-1, ' ', false, ordered_json::error_handler_t::replace) + '\n';
}

}  // namespace

std::string request_line(Instant at, const Served& served) {
  return line_of({{"at", at.iso_utc()},
                  {"event", "request"},
                  {"method", served.method},
                  {"path", served.path},
                  {"status", served.status},
                  {"ms", static_cast<double>(served.took.count()) / 1000.0},
                  {"bytes", served.bytes},
                  {"client", served.client},
                  {"secure", served.secure}});
}

std::string event_line(Instant at, std::string_view event, const std::vector<std::pair<std::string, std::string>>& facts) {
  ordered_json object{{"at", at.iso_utc()}, {"event", event}};
  for (const auto& [name, value] : facts) object[name] = value;
  return line_of(object);
}

LineWriter::LineWriter(std::FILE* to, std::size_t most) : to_{to}, most_{most}, thread_{[this] { run(); }} {}

LineWriter::~LineWriter() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
  }
  changed_.notify_one();
  thread_.join();
}

void LineWriter::write(std::string line) {
  {
    const std::lock_guard lock(mutex_);
    if (lines_.size() >= most_) {
      ++dropped_;
      return;
    }
    lines_.push_back(std::move(line));
  }
  changed_.notify_one();
}

void LineWriter::run() {
  std::unique_lock lock(mutex_);
  while (!ending_ || !lines_.empty() || dropped_ > 0) {
    changed_.wait(lock, [&] { return ending_ || !lines_.empty() || dropped_ > 0; });
    const std::deque<std::string> now = std::exchange(lines_, {});
    const std::size_t dropped = std::exchange(dropped_, 0);
    lock.unlock();
    for (const auto& line : now) std::fwrite(line.data(), 1, line.size(), to_);
    if (dropped > 0) {
      const std::string line = line_of({{"event", "log_lines_dropped"}, {"n", dropped}});
      std::fwrite(line.data(), 1, line.size(), to_);
    }
    std::fflush(to_);
    lock.lock();
  }
}

}  // namespace leafturn::server
