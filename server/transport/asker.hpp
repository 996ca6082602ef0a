#pragma once
/// Who is asking: the connection's own end, or, behind a proxy, whom the proxy says. A proxy's headers count only when they come from the
/// one address that was named; from anywhere else they are somebody's claim.

#include <optional>
#include <string>
#include <string_view>

#include "server/http.hpp"

namespace leafturn::server::transport {

/// `127.0.0.1` and all of 127/8, `::1`, and both written the other way (`::ffff:127.0.0.1`).
bool is_loopback_address(std::string_view address);

/// As written plainly: `::ffff:192.0.2.7` is `192.0.2.7`; nothing when it isn't an address.
std::optional<std::string> plain_address(std::string_view address);

/// Sets `client`, `secure` and `loopback` of a request whose headers are read. `peer`: the connection's other end; `proxy`: the named one,
/// plainly written, or nothing.
///
/// - From the named proxy: `client` is the last entry of X-Forwarded-For (the one the proxy itself wrote), `secure` what X-Forwarded-Proto
///   says. Nothing that comes from its address is this machine's own, with headers or without: a proxy that forgets them must not make
///   everybody the lead.
/// - From elsewhere: `client` is the peer. It is this machine's own when the peer is, the Host is a loopback name, and no header tells of a
///   proxy on the way.
///
/// False when the named proxy says something that can't be read.
bool set_asker(Request& request, const std::string& peer, bool tls, const std::optional<std::string>& proxy);

}  // namespace leafturn::server::transport
