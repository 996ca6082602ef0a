#pragma once
/// Method and path pattern → handler. A pattern is a path in which `{name}` stands for one non-empty part.

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "server/guard.hpp"
#include "server/http.hpp"

namespace leafturn::server {

using Handler = std::function<Response(const Request&)>;

class Router {
 public:
  struct Route {
    std::string method, pattern;
    Handler handler;
  };

  void add(std::string method, std::string pattern, Handler handler);
  const std::vector<Route>& routes() const { return routes_; }
  /// Until it is said, this machine only. Before anything is handled.
  void reach(Reach reach) { reach_ = std::move(reach); }

  /// The guard first (guard.hpp), then the first route that fits; `HEAD` is answered as `GET`. Everything else is an error in the API's
  /// shape: 404 `server.no_such_page`, 405 `server.method_not_allowed` (with `Allow`), 500 `server.broken` when a handler throws. Every
  /// answer carries the guard's headers. Safe to call from several threads.
  Response handle(const Request& request) const;

 private:
  Response route(const Request& request) const;
  std::vector<Route> routes_;
  Reach reach_;
};

/// The parts of `path` by the names of `pattern`, or false.
bool match(const std::string& pattern, const std::string& path, std::map<std::string, std::string>& captured);

}  // namespace leafturn::server
