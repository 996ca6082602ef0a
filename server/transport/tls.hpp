#pragma once
/// The server's end of TLS.

#include <boost/asio/ssl/context.hpp>
#include <memory>

#include "server/listener.hpp"

namespace leafturn::server::transport {

/// TLS 1.2 and 1.3 with forward secrecy, nothing older, nothing weaker. `server.certificate_unusable` when chain and key don't fit.
Result<std::shared_ptr<boost::asio::ssl::context>> make_tls(const Certificate& certificate);

}  // namespace leafturn::server::transport
