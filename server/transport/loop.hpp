#pragma once
/// What the listener and its conversations share. Private to this folder: it includes the I/O library.

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <cstdint>
#include <map>
#include <memory>
#include <set>
#include <string>

#include "server/listener.hpp"

namespace leafturn::server::transport {

namespace asio = boost::asio;

/// One connection as the loop sees it.
class Connection {
 public:
  virtual ~Connection() = default;
  /// Cuts it now.
  virtual void cut() = 0;
  /// New events are in the ledger: whoever listens is told.
  virtual void tell() = 0;

  std::string peer;                               ///< address
  bool idle = false;                              ///< between two requests
  bool listens = false;                           ///< to news
  std::chrono::steady_clock::time_point since{};  ///< idle since
};

/// Everything here is touched by the loop's one thread only, the router and the options aside.
struct Loop {
  Loop(const Router& answers, const ListenOptions& asked);

  const Router& router;
  const ListenOptions& options;
  std::optional<std::string> proxy;
  asio::io_context io{1};
  /// Reading takes processors, writing waits for the disk: so that neither keeps the other waiting, each has its own workers, and enough
  /// writers wait together that one sync of the disk serves many.
  asio::thread_pool readers, writers;
  std::shared_ptr<asio::ssl::context> tls;
  std::set<Connection*> connections;
  std::map<std::string, std::size_t> by_client;
  std::size_t waiting = 0;  ///< requests with the workers
  std::uint64_t last_seq = 0;
  bool ending = false;

  /// Takes it in, making room when there are too many; false when there is no room.
  bool take_in(Connection& connection);
  void let_go(Connection& connection);
};

/// Talks with whoever is at the other end until one of both has enough. `tls` null: plain.
void converse(Loop& loop, asio::ip::tcp::socket socket, const std::shared_ptr<asio::ssl::context>& tls);

}  // namespace leafturn::server::transport
