#include "fetch/exchange.hpp"

#include <httplib.h>
#include <netdb.h>
#include <openssl/x509_vfy.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <memory>
#include <optional>

#include "fetch/watch.hpp"

namespace leafturn::fetch {
namespace {

constexpr int ok = 200;

tl::unexpected<Trouble> trouble(std::string code, std::vector<Fact> facts, bool may_pass) {
  return tl::unexpected(Trouble{{std::move(code), {}, std::move(facts), ErrorKind::cannot}, may_pass});
}

std::int64_t seconds(std::chrono::milliseconds time) { return std::max<std::int64_t>(1, (time.count() + 500) / 1000); }

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

/// Looked up first on its own, because the library gives a name that doesn't exist and a door that is shut the same answer.
std::optional<Trouble> name_trouble(const std::string& host) {
  addrinfo wanted{};
  wanted.ai_socktype = SOCK_STREAM;
  addrinfo* found = nullptr;
  const int failed = getaddrinfo(host.c_str(), nullptr, &wanted, &found);
  if (found != nullptr) freeaddrinfo(found);
  if (failed == 0) return std::nullopt;
  return trouble("fetch.no_such_host", {{"host", host}}, failed == EAI_AGAIN).value();
}

/// The answer as it comes in.
class Incoming {
 public:
  explicit Incoming(std::size_t most) : most_{most} {}

  bool head(const httplib::Response& response) {
    began_ = true;
    reply_.status = response.status;
    for (const auto& [name, value] : response.headers) reply_.headers.emplace(lower(name), value);
    if (response.status != ok) return false;
    const std::string_view length = reply_.header("content-length");
    const bool counted = lower(std::string(reply_.header("transfer-encoding"))) == "chunked";
    reply_.whole_for_sure = counted || !length.empty();
    if (length.empty() || counted) return true;
    std::uint64_t bytes = 0;
    const auto [end, error] = std::from_chars(length.data(), length.data() + length.size(), bytes);
    if (error == std::errc::result_out_of_range || (error == std::errc{} && bytes > most_)) return too_large_ = true, false;
    if (error != std::errc{} || end != length.data() + length.size()) return garbled_ = true, false;
    return true;
  }

  bool body(const char* data, std::size_t size) {
    if (size > most_ - reply_.body.size()) return too_large_ = true, false;
    reply_.body.append(data, size);
    return true;
  }

  bool began() const { return began_; }
  bool too_large() const { return too_large_; }
  bool garbled() const { return garbled_; }
  Reply& reply() { return reply_; }

 private:
  std::size_t most_;
  Reply reply_;
  bool began_ = false, too_large_ = false, garbled_ = false;
};

void set_up(httplib::ClientImpl& client, const Ask& ask, Watch& watch) {
  using std::chrono::duration_cast;
  const auto split = [](std::chrono::milliseconds time, const auto& set) {
    set(static_cast<time_t>(time.count() / 1000), static_cast<time_t>(time.count() % 1000 * 1000));
  };
  split(ask.limits.connect, [&](time_t s, time_t us) { client.set_connection_timeout(s, us); });
  split(ask.limits.silence, [&](time_t s, time_t us) { client.set_read_timeout(s, us); });
  split(ask.limits.silence, [&](time_t s, time_t us) { client.set_write_timeout(s, us); });
  client.set_keep_alive(false);
  client.set_follow_location(false);
  client.set_decompress(false);
  client.set_url_encode(false);
  client.set_tcp_nodelay(true);
  client.set_socket_options([&watch](socket_t socket) { watch.over(socket); });
}

/// Why a server isn't believed to be who it says.
tl::unexpected<Trouble> distrust(const httplib::SSLClient& client, const Address& address) {
  const long verdict = client.get_openssl_verify_result();
  if (verdict == X509_V_OK) return trouble("fetch.certificate_host", {{"host", address.host}}, false);
  return trouble("fetch.certificate", {{"host", address.host}, {"reason", std::string(X509_verify_cert_error_string(verdict))}}, false);
}

tl::unexpected<Trouble> what_broke(httplib::Error error, const Ask& ask, const Incoming& incoming, const Watch& watch) {
  const std::string host = ask.address.host_header();
  const auto too_large = [&] { return trouble("fetch.too_large", {{"megabytes", std::int64_t(ask.limits.most_bytes >> 20U)}}, false); };
  if (watch.ended() == Watch::Ended::out_of_time)
    return trouble("fetch.timeout", {{"host", host}, {"seconds", seconds(ask.limits.whole)}}, false);
  if (watch.ended() == Watch::Ended::too_much || incoming.too_large()) return too_large();
  if (incoming.garbled()) return trouble("fetch.garbled", {}, false);
  if (error == httplib::Error::ConnectionTimeout)
    return trouble("fetch.timeout", {{"host", host}, {"seconds", seconds(ask.limits.connect)}}, true);
  if (error == httplib::Error::Connection) return trouble("fetch.refused", {{"host", host}}, true);
  if (error == httplib::Error::SSLConnection) return trouble("fetch.insecure", {{"host", host}}, true);
  // The library doesn't tell a server that says nothing from one that is gone.
  if (watch.silent_for() + std::chrono::milliseconds(50) >= ask.limits.silence)
    return trouble("fetch.timeout", {{"host", host}, {"seconds", seconds(ask.limits.silence)}}, false);
  return trouble(incoming.began() ? "fetch.cut_off" : "fetch.hung_up", {{"host", host}}, true);
}

}  // namespace

std::string_view Reply::header(const std::string& lower_case_name) const {
  const auto found = headers.find(lower_case_name);
  return found == headers.end() ? std::string_view{} : std::string_view{found->second};
}

tl::expected<Reply, Trouble> exchange(const Ask& ask) {
  const Address& address = ask.address;
  if (auto unknown = name_trouble(address.host)) return tl::unexpected(std::move(*unknown));
  // What comes in beside the body (header, encryption) is small; an endless header is not.
  Watch watch(ask.limits.whole, ask.limits.most_bytes + ask.limits.most_bytes / 16 + (1U << 20U));
  Incoming incoming(ask.limits.most_bytes);
  std::unique_ptr<httplib::ClientImpl> client;
  httplib::SSLClient* secure = nullptr;
  if (address.secure) {
    auto made = std::make_unique<httplib::SSLClient>(address.host, address.port);
    secure = made.get();
    SSL_CTX_set_min_proto_version(secure->ssl_context(), TLS1_2_VERSION);
    secure->set_ca_cert_path(ask.ca_file);
    secure->enable_server_certificate_verification(true);
    client = std::move(made);
  } else {
    client = std::make_unique<httplib::ClientImpl>(address.host, address.port);
  }
  set_up(*client, ask, watch);

  httplib::Headers headers{{"Host", address.host_header()}};
  for (const auto& [name, value] : ask.headers) headers.emplace(name, value);
  if (!address.user.empty()) client->set_basic_auth(address.user, address.password);
  const auto result = client->Get(
      address.target, headers, [&](const httplib::Response& response) { return incoming.head(response); },
      [&](const char* data, std::size_t size) { return incoming.body(data, size); });

  // Of anything but a 200 the head is all we want; the library calls it cancelled.
  if (incoming.began() && incoming.reply().status != ok) return std::move(incoming.reply());
  if (result) {
    if (!incoming.began()) incoming.head(*result);
    return std::move(incoming.reply());
  }
  if (secure != nullptr && result.error() == httplib::Error::SSLServerVerification) return distrust(*secure, address);
  if (result.error() == httplib::Error::SSLLoadingCerts) return trouble("fetch.certificates", {}, false);
  return what_broke(result.error(), ask, incoming, watch);
}

}  // namespace leafturn::fetch
