// The garden's network over TLS: which versions, whose certificate, and what is served to whom.
#include <gtest/gtest.h>
#include <openssl/err.h>
#include <openssl/ssl.h>
#include <openssl/x509v3.h>

#include "app/certificates.hpp"
#include "app/x509.hpp"
#include "server/phone_guide.hpp"
#include "tests/server/listening.hpp"
#include "tests/support/data.hpp"

namespace leafturn::server {
namespace {

using namespace std::chrono_literals;
using test::get;
using test::Listening;

/// Of an invented machine whose network is this test's loopback.
const app::NetworkNames shed{"shed.local", {{"127.0.0.1", "127.0.0.0", "255.0.0.0"}}};
Instant clock_now() {
  return Instant::from_unix_microseconds(
      std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::system_clock::now().time_since_epoch()).count());
}

/// A phone: what it trusts, whom it thinks it talks to, and how old it is.
struct Phone {
  std::string trusts{};  ///< PEM
  std::string host = "shed.local";
  int oldest = TLS1_2_VERSION, newest = TLS1_3_VERSION;
};
struct Said {
  bool shaken = false;  ///< the handshake
  std::string version, answer, fingerprint;
};

Said talk(int port, const Phone& phone, const std::string& request = {}) {
  Said said;
  SSL_CTX* context = SSL_CTX_new(TLS_client_method());
  SSL_CTX_set_security_level(context, 0);  // or this side would refuse the old versions before the server is asked
  SSL_CTX_set_cipher_list(context, "ALL:@SECLEVEL=0");
  SSL_CTX_set_min_proto_version(context, phone.oldest);
  SSL_CTX_set_max_proto_version(context, phone.newest);
  if (!phone.trusts.empty()) {
    BIO* pem = BIO_new_mem_buf(phone.trusts.data(), static_cast<int>(phone.trusts.size()));
    X509* authority = PEM_read_bio_X509(pem, nullptr, nullptr, nullptr);
    X509_STORE_add_cert(SSL_CTX_get_cert_store(context), authority);
    X509_free(authority);
    BIO_free(pem);
    SSL_CTX_set_verify(context, SSL_VERIFY_PEER, nullptr);
  }
  BIO* wire = BIO_new_connect(("127.0.0.1:" + std::to_string(port)).c_str());
  SSL* tls = SSL_new(context);
  SSL_ctrl(tls, SSL_CTRL_SET_TLSEXT_HOSTNAME, TLSEXT_NAMETYPE_host_name, const_cast<char*>(phone.host.c_str()));
  X509_VERIFY_PARAM* wanted = SSL_get0_param(tls);
  if (X509_VERIFY_PARAM_set1_ip_asc(wanted, phone.host.c_str()) != 1) SSL_set1_host(tls, phone.host.c_str());
  EXPECT_EQ(BIO_do_connect(wire), 1);
  SSL_set_bio(tls, wire, wire);
  said.shaken = SSL_connect(tls) == 1;
  if (said.shaken) {
    said.version = SSL_get_version(tls);
    X509* leaf = SSL_get1_peer_certificate(tls);
    BIO* pem = BIO_new(BIO_s_mem());
    PEM_write_bio_X509(pem, leaf);
    char* bytes = nullptr;
    const long size = BIO_get_mem_data(pem, &bytes);
    if (const auto facts = app::read_certificate(std::string(bytes, static_cast<std::size_t>(size)))) said.fingerprint = facts->fingerprint;
    BIO_free(pem);
    X509_free(leaf);
    if (!request.empty()) {
      SSL_write(tls, request.data(), static_cast<int>(request.size()));
      std::array<char, 16384> some{};
      for (int n = 0; (n = SSL_read(tls, some.data(), static_cast<int>(some.size()))) > 0;)
        said.answer.append(some.data(), static_cast<std::size_t>(n));
    }
  }
  ERR_clear_error();
  SSL_free(tls);
  SSL_CTX_free(context);
  return said;
}

std::string asked_as(const std::string& host, const std::string& target) {
  return "GET " + target + " HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n\r\n";
}

class Tls : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = test::fresh_folder(std::string("tls_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    const auto made = app::certificates_for(folder_, shed, clock_now());
    ASSERT_TRUE(made) << made.error().code;
    made_ = *made;
  }
  std::function<void(Router&, ListenOptions&)> on_the_network(bool plain = false) {
    return [this, plain](Router& router, ListenOptions& options) {
      router.reach({{"shed.local"}, plain});
      options.lan = Lan{0, {made_.chain_pem, made_.key_pem}, {}};
      add_phone_guide(router, *app::certificate_der(made_.authority_pem), [this] {
        return PhoneFacts{"The <invented> garden", "shed.local", "192.0.2.7", 8080, 8443, made_.authority_fingerprint};
      });
      router.add("GET", "/pair",
                 [](const Request& request) { return Response{200, "text/plain", request.secure ? "secure" : "plain", {}}; });
    };
  }
  std::string folder_;
  app::Certificates made_;
};

TEST_F(Tls, speaks_two_versions_and_nothing_older) {
  const Listening server(on_the_network());
  EXPECT_EQ(talk(server.secure_port, {made_.authority_pem}).version, "TLSv1.3");
  Phone older{made_.authority_pem};
  older.newest = TLS1_2_VERSION;
  EXPECT_EQ(talk(server.secure_port, older).version, "TLSv1.2");
  for (const int version : {TLS1_1_VERSION, TLS1_VERSION, SSL3_VERSION}) {
    Phone old{made_.authority_pem};
    old.oldest = old.newest = version;
    EXPECT_FALSE(talk(server.secure_port, old).shaken) << version;
  }
}

TEST_F(Tls, a_phone_that_trusts_the_garden_believes_its_own_names_only) {
  const Listening server(on_the_network());
  EXPECT_TRUE(talk(server.secure_port, {made_.authority_pem, "shed.local"}).shaken);
  EXPECT_TRUE(talk(server.secure_port, {made_.authority_pem, "127.0.0.1"}).shaken);
  for (const char* other : {"bank.example", "other.local", "192.0.2.8"})
    EXPECT_FALSE(talk(server.secure_port, {made_.authority_pem, other}).shaken) << other;
  const std::string strangers = test::fresh_folder("tls_strangers");
  const auto another = app::certificates_for(strangers, shed, clock_now());
  ASSERT_TRUE(another);
  EXPECT_FALSE(talk(server.secure_port, {another->authority_pem}).shaken) << "another garden's authority";
}

TEST_F(Tls, a_certificate_for_another_name_is_refused_though_the_garden_signed_it) {
  const auto key = app::make_key_pem();
  const auto forged =
      app::make_certificate_pem(*key, made_.authority_pem, test::read_file(folder_ + "/authority/authority.key"),
                                {"bank", "DNS:bank.example", {}, clock_now() - Duration::hours(1), clock_now() + Duration::hours(1)});
  ASSERT_TRUE(forged);
  const Listening server([&](Router&, ListenOptions& options) { options.lan = Lan{0, {*forged, *key}, {}}; });
  EXPECT_TRUE(talk(server.secure_port, {"", "bank.example"}).shaken) << "who checks nothing is served";
  EXPECT_FALSE(talk(server.secure_port, {made_.authority_pem, "bank.example"}).shaken);
}

TEST_F(Tls, a_handshake_nobody_goes_on_with_is_cut) {
  const Listening server([this](Router& router, ListenOptions& options) {
    on_the_network()(router, options);
    options.bounds.handshake = 300ms;
  });
  const test::Wire silent(server.secure_port), plain(server.secure_port);
  plain.send(get("/hello"));
  EXPECT_TRUE(silent.ends(2s));
  EXPECT_EQ(plain.read().find("200 OK"), std::string::npos) << "plain http on the port for https";
}

TEST_F(Tls, a_renewed_certificate_is_in_force_without_a_restart) {
  const auto later = app::certificates_for(folder_, shed, clock_now() + Duration::hours(24 * 61));
  ASSERT_TRUE(later && later->renewed);
  std::atomic<bool> due{false};
  const Listening server([&](Router& router, ListenOptions& options) {
    on_the_network()(router, options);
    options.bounds.certificate = 200ms;
    options.lan->renewed = [&]() -> std::optional<Certificate> {
      if (!due.exchange(false)) return std::nullopt;
      return Certificate{later->chain_pem, later->key_pem};
    };
  });
  const std::string before = talk(server.secure_port, {}).fingerprint;
  due = true;
  std::string after = before;
  for (int i = 0; i < 50 && after == before; ++i) {
    std::this_thread::sleep_for(100ms);
    after = talk(server.secure_port, {}).fingerprint;
  }
  EXPECT_EQ(after, app::read_certificate(later->chain_pem)->fingerprint);
}

TEST_F(Tls, chain_and_key_that_do_not_fit_are_no_server) {
  ListenOptions options;
  options.stop = [] { return true; };
  options.lan = Lan{0, {made_.chain_pem, *app::make_key_pem()}, {}};
  const auto refused = listen(Router{}, options);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "server.certificate_unusable");
}

// From elsewhere: the test's own loopback counts as this machine, so 'elsewhere' is asked for by a name of the network.
TEST_F(Tls, from_the_network_it_answers_to_its_own_names_over_tls) {
  const Listening server(on_the_network());
  const auto over_tls = [&](const std::string& target, const std::string& host = "shed.local:8443") {
    return talk(server.secure_port, {made_.authority_pem}, asked_as(host, target)).answer;
  };
  EXPECT_NE(over_tls("/pair").find("\r\n\r\nsecure"), std::string::npos);
  EXPECT_NE(over_tls("/pair", "bank.example").find("server.host_not_local"), std::string::npos);
  EXPECT_NE(server.raw(asked_as("shed.local", "/phone")).find("200 OK"), std::string::npos);
  EXPECT_NE(server.raw(asked_as("192.0.2.7", "/authority.crt")).find("application/x-x509-ca-cert"), std::string::npos);
  EXPECT_NE(server.raw(asked_as("shed.local", "/pair")).find("server.https_needed"), std::string::npos);
  EXPECT_NE(server.raw(asked_as("shed.local", "/hello")).find("server.https_needed"), std::string::npos);
  EXPECT_NE(server.raw(asked_as("127.0.0.1", "/hello")).find("200 OK"), std::string::npos) << "this machine itself";
}

TEST_F(Tls, a_named_proxy_makes_strangers_of_its_visitors) {
  const Listening server([&](Router& router, ListenOptions& options) {
    on_the_network()(router, options);
    options.lan.reset();
    options.proxy = "127.0.0.1";
  });
  const std::string through =
      "GET %s HTTP/1.1\r\nHost: shed.local\r\nX-Forwarded-For: 198.51.100.4\r\nX-Forwarded-Proto: https\r\nConnection: close\r\n\r\n";
  const auto asked = [&](const std::string& target) { return server.raw(std::string(through).replace(through.find("%s"), 2, target)); };
  EXPECT_NE(asked("/pair").find("\r\n\r\nsecure"), std::string::npos) << asked("/pair");
  EXPECT_EQ(server.raw(get("/hello", "Connection: close\r\n")).find("200 OK"), std::string::npos) << "a proxy that says nothing";
  const Listening unnamed(on_the_network());
  EXPECT_EQ(unnamed.raw(get("/hello", "X-Forwarded-For: 198.51.100.4\r\nConnection: close\r\n")).find("200 OK"), std::string::npos)
      << "a proxy nobody named";
}

TEST_F(Tls, the_guide_says_all_it_must_in_both_languages) {
  const Listening server(on_the_network());
  for (const char* lang : {"en", "es"}) {
    const std::string page = server.raw(asked_as("shed.local", std::string("/phone?lang=") + lang));
    for (const char* part : {"http://shed.local:8080/phone", "https://shed.local:8443/", "http://192.0.2.7:8080/phone",
                             "The &lt;invented&gt; garden", "/authority.crt", "Content-Security-Policy: default-src 'none'"})
      EXPECT_NE(page.find(part), std::string::npos) << lang << part;
    EXPECT_NE(page.find(made_.authority_fingerprint.substr(0, 11)), std::string::npos);
    for (const char* never : {"{{", "⟦", "<invented>", "<script", "style=", "<style"})
      EXPECT_EQ(page.find(never), std::string::npos) << lang << never;
    EXPECT_NE(page.find(std::string("lang=\"") + lang + "\""), std::string::npos);
  }
  const auto der = server.raw(asked_as("shed.local", "/authority.crt"));
  EXPECT_EQ(der.substr(der.find("\r\n\r\n") + 4), *app::certificate_der(made_.authority_pem));
}

}  // namespace
}  // namespace leafturn::server
