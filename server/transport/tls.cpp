#include "server/transport/tls.hpp"

#include <openssl/ssl.h>

#include <boost/asio/buffer.hpp>

namespace leafturn::server::transport {

namespace ssl = boost::asio::ssl;

Result<std::shared_ptr<ssl::context>> make_tls(const Certificate& certificate) {
  auto context = std::make_shared<ssl::context>(ssl::context::tls_server);
  SSL_CTX* raw = context->native_handle();
  const auto unusable = [] { return fail("server.certificate_unusable", {}, {}, ErrorKind::cannot); };
  // Not left to the machine's own configuration of the library, which may allow more.
  if (SSL_CTX_set_min_proto_version(raw, TLS1_2_VERSION) != 1 ||
      SSL_CTX_set_cipher_list(raw, "ECDHE+AESGCM:ECDHE+CHACHA20:!aNULL:!eNULL") != 1)
    return unusable();
  SSL_CTX_set_options(raw, SSL_OP_NO_RENEGOTIATION | SSL_OP_NO_COMPRESSION | SSL_OP_CIPHER_SERVER_PREFERENCE);
  SSL_CTX_set_mode(raw, SSL_MODE_RELEASE_BUFFERS);  // an idle page keeps no record buffers
  boost::system::error_code wrong;
  context->use_certificate_chain(boost::asio::buffer(certificate.chain), wrong);
  if (wrong) return unusable();
  context->use_private_key(boost::asio::buffer(certificate.key), ssl::context::pem, wrong);
  if (wrong || SSL_CTX_check_private_key(raw) != 1) return unusable();
  return context;
}

}  // namespace leafturn::server::transport
