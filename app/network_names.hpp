#pragma once
/// What this machine is called on its own networks.

#include <string>
#include <vector>

#include "core/base/result.hpp"

namespace leafturn::app {

/// An IPv4 address of an interface with the network it is in, in figures: `192.0.2.7`, `192.0.2.0`, `255.255.255.0`.
struct LanAddress {
  std::string address, network, mask;
};

struct NetworkNames {
  std::string name;                   ///< `garden.local`, lower case
  std::vector<LanAddress> addresses;  ///< interfaces that are up, this machine's own loopback aside; sorted
};

/// `given`: the name to use instead of the machine's own with `.local` (RFC 6762). Error: `app.name_unusable`.
Result<NetworkNames> network_names(const std::string& given = {});

/// A host name of letters, digits and hyphens with at least one dot, in lower case (RFC 1123, 2.1).
bool is_host_name(const std::string& name);

}  // namespace leafturn::app
