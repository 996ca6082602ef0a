#include "server/transport/loop.hpp"

#include <algorithm>
#include <thread>

#include "server/transport/asker.hpp"

namespace leafturn::server::transport {
namespace {

constexpr std::size_t writers_together = 32;
/// More than there are processors, because readers wait too: several who ask for the same brief wait for one of them to make it, and must
/// not keep whoever asks for a file or an event.
constexpr std::size_t readers_a_processor = 4;

}  // namespace

Loop::Loop(const Router& answers, const ListenOptions& asked)
    : router{answers},
      options{asked},
      readers{std::max<std::size_t>(8, readers_a_processor * std::thread::hardware_concurrency())},
      writers{writers_together} {}

bool Loop::take_in(Connection& connection) {
  if (connections.size() >= options.bounds.connections) {
    Connection* longest = nullptr;
    for (auto* one : connections)
      if (one->idle && (longest == nullptr || one->since < longest->since)) longest = one;
    if (longest == nullptr) return false;
    longest->cut();  // it is let go when its talk ends; one more for a moment is no harm
  }
  auto& same = by_client[connection.peer];
  const bool counted = !is_loopback_address(connection.peer) && connection.peer != proxy;
  if (counted && same >= options.bounds.connections_per_client) return false;
  ++same;
  connections.insert(&connection);
  return true;
}

void Loop::let_go(Connection& connection) {
  if (connections.erase(&connection) == 0) return;
  const auto same = by_client.find(connection.peer);
  if (same != by_client.end() && --same->second == 0) by_client.erase(same);
}

}  // namespace leafturn::server::transport
