#pragma once
/// A web address, taken apart.

#include <string>
#include <string_view>

#include "core/base/result.hpp"

namespace leafturn::fetch {

struct Address {
  bool secure = false;         ///< https
  std::string host;            ///< lower case; an IPv6 address without its brackets
  int port = 80;               ///< 443 for https, unless the address says another
  std::string target;          ///< path and query as they are sent; begins with `/`
  std::string user, password;  ///< decoded; empty where the address has none

  bool same_origin(const Address& other) const;
  std::string host_header() const;  ///< `[::1]:8080`, the port only where it isn't the scheme's own
  std::string whole() const;        ///< without user and password
  /// To be shown: without user and password, a query as `?…`, since it may hold a key.
  std::string shown() const;
  std::string last_part() const;  ///< of the path: `station.csv`; the host where the path has none
};

/// `http://…` or `https://…` in printable ASCII, the rest percent-encoded; a fragment is dropped. Errors: `fetch.bad_address` with what is
/// wrong as `reason` (a key of the catalogue).
Result<Address> parse_address(std::string_view text);

/// Where a redirect leads: RFC 3986 section 5. User and password go on only within one origin.
Result<Address> resolve(const Address& base, std::string_view location);

}  // namespace leafturn::fetch
