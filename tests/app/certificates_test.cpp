// The garden's own authority: what it may sign, who may read its keys, and when what it signed is made again. What another reader of
// certificates makes of the files is asked of `openssl verify`, whose rules of name constraints are RFC 5280's.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <cstdlib>
#include <fstream>

#include "app/certificates.hpp"
#include "app/file_text.hpp"
#include "app/x509.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {
namespace {

const Instant now = *Instant::parse("2027-05-01T12:00:00Z");
const NetworkNames shed{"shed.local", {{"192.0.2.7", "192.0.2.0", "255.255.255.0"}}};
Duration days(int n) { return Duration::hours(24 * n); }

class Authority : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = test::fresh_folder(std::string("certificates_") + testing::UnitTest::GetInstance()->current_test_info()->name());
  }
  Certificates made(const NetworkNames& names = shed, Instant at = now) {
    const auto out = certificates_for(folder_, names, at);
    EXPECT_TRUE(out) << out.error().code;
    return out.value_or(Certificates{});
  }
  std::string file(const std::string& name) const { return folder_ + "/authority/" + name; }
  unsigned mode(const std::string& name) const {
    struct stat facts{};
    return ::stat(file(name).c_str(), &facts) == 0 ? facts.st_mode & 0777U : 0;
  }
  /// Whether the command-line tool accepts a certificate for a host or address, trusting this authority.
  bool accepted(const std::string& certificate, const std::string& what) const {
    std::ofstream(folder_ + "/leaf.crt") << certificate;
    const std::string command = "openssl verify -attime " + std::to_string(now.unix_microseconds() / 1'000'000) +
                                " -purpose sslserver -CAfile '" + file("authority.crt") + "' " + what + " '" + folder_ +
                                "/leaf.crt' > /dev/null 2>&1";
    return std::system(command.c_str()) == 0;  // NOLINT: a test
  }
  /// What somebody could do who has stolen the authority's key.
  std::string forged(const std::string& names) const {
    const auto key = make_key_pem();
    const auto out = make_certificate_pem(*key, *read_text(file("authority.crt")), *read_text(file("authority.key")),
                                          {"forged", names, {}, now - days(1), now + days(10)});
    EXPECT_TRUE(out);
    return out.value_or(std::string{});
  }
  std::string folder_;
};

TEST_F(Authority, is_made_once_with_keys_nobody_else_reads) {
  const auto first = made();
  EXPECT_TRUE(first.renewed);
  EXPECT_EQ(first.names, (std::vector<std::string>{"DNS:shed.local", "IP:192.0.2.7"}));
  EXPECT_EQ(first.ends, now + days(90));
  EXPECT_EQ(mode("authority.key"), 0600U);
  EXPECT_EQ(mode("server.key"), 0600U);
  EXPECT_EQ(mode("."), 0700U);
  const auto again = made(shed, now + days(59));
  EXPECT_FALSE(again.renewed);
  EXPECT_EQ(again.chain_pem, first.chain_pem);
  const auto state = certificate_state(folder_, now);
  ASSERT_TRUE(state && *state);
  EXPECT_TRUE((*state)->keys_private);
  EXPECT_TRUE((*state)->fits);
  EXPECT_EQ((*state)->authority_ends, now + days(3650));
  EXPECT_EQ((*state)->authority_fingerprint, first.authority_fingerprint);
  EXPECT_EQ(first.authority_fingerprint.size(), 95U);
}

TEST_F(Authority, another_reader_accepts_what_it_signed_for_its_own_names_only) {
  const auto own = made();
  EXPECT_TRUE(accepted(own.chain_pem, "-verify_hostname shed.local"));
  EXPECT_TRUE(accepted(own.chain_pem, "-verify_ip 192.0.2.7"));
  EXPECT_FALSE(accepted(own.chain_pem, "-verify_hostname garden.example"));
  EXPECT_FALSE(accepted(own.chain_pem, "-verify_ip 192.0.2.8"));
}

TEST_F(Authority, cannot_sign_for_other_names_even_in_a_thiefs_hands) {
  made();
  EXPECT_TRUE(accepted(forged("DNS:shed.local"), "-verify_hostname shed.local")) << "the same way of forging, for its own name";
  for (const auto& [names, asked] :
       std::vector<std::pair<std::string, std::string>>{{"DNS:bank.example", "-verify_hostname bank.example"},
                                                        {"DNS:local", "-verify_hostname local"},
                                                        {"DNS:other.local", "-verify_hostname other.local"},
                                                        {"DNS:*.local", "-verify_hostname other.local"},
                                                        {"DNS:shed.local,DNS:bank.example", "-verify_hostname bank.example"},
                                                        {"IP:198.51.100.1", "-verify_ip 198.51.100.1"},
                                                        {"IP:2001:db8::1", "-verify_ip 2001:db8::1"},
                                                        {"IP:127.0.0.1", "-verify_ip 127.0.0.1"}})
    EXPECT_FALSE(accepted(forged(names), asked)) << names;
}

TEST_F(Authority, says_what_it_is) {
  made();
  const std::string text = *read_text(file("authority.crt"));
  std::ofstream(folder_ + "/a.pem") << text;
  const std::string command = "openssl x509 -in '" + folder_ +
                              "/a.pem' -noout -ext basicConstraints,keyUsage,extendedKeyUsage,nameConstraints > '" + folder_ + "/ext' 2>&1";
  ASSERT_EQ(std::system(command.c_str()), 0);
  const std::string said = *read_text(folder_ + "/ext");
  for (const char* part : {"CA:TRUE, pathlen:0", "Certificate Sign", "TLS Web Server Authentication", "Permitted:", "DNS:shed.local",
                           "IP:192.0.2.0/255.255.255.0", "X509v3 Name Constraints: critical"})
    EXPECT_NE(said.find(part), std::string::npos) << part << said;
}

TEST_F(Authority, without_a_network_it_signs_for_no_address) {
  const NetworkNames alone{"shed.local", {}};
  made(alone);
  EXPECT_TRUE(accepted(forged("DNS:shed.local"), "-verify_hostname shed.local"));
  EXPECT_FALSE(accepted(forged("IP:192.0.2.7"), "-verify_ip 192.0.2.7"));
  EXPECT_FALSE(accepted(forged("IP:2001:db8::1"), "-verify_ip 2001:db8::1"));
}

TEST_F(Authority, the_servers_certificate_is_made_again_before_it_ends) {
  const auto first = made();
  const auto later = made(shed, now + days(61));
  EXPECT_TRUE(later.renewed);
  EXPECT_NE(later.chain_pem, first.chain_pem);
  EXPECT_EQ(later.authority_pem, first.authority_pem) << "phones go on trusting it";
  EXPECT_EQ(later.ends, now + days(151));
  const auto last = made(shed, now + days(3649));
  EXPECT_EQ(last.ends, now + days(3650)) << "never beyond the authority's own end";
  const auto ended = certificates_for(folder_, shed, now + days(3651));
  ASSERT_FALSE(ended);
  EXPECT_EQ(ended.error().code, "app.authority_ended");
}

TEST_F(Authority, another_address_is_signed_for_within_its_network_and_told_outside_it) {
  made();
  const NetworkNames moved{"shed.local", {{"192.0.2.99", "192.0.2.0", "255.255.255.0"}}};
  const auto renewed = made(moved);
  EXPECT_TRUE(renewed.renewed);
  EXPECT_EQ(renewed.names, (std::vector<std::string>{"DNS:shed.local", "IP:192.0.2.99"}));
  const NetworkNames elsewhere{"shed.local", {{"198.51.100.3", "198.51.100.0", "255.255.255.0"}}};
  const auto outside = made(elsewhere);
  EXPECT_EQ(outside.names, (std::vector<std::string>{"DNS:shed.local"}));
  EXPECT_EQ(outside.outside, (std::vector<std::string>{"198.51.100.3"}));
  EXPECT_FALSE(made(elsewhere).renewed) << "and isn't made again for it each minute";
}

TEST_F(Authority, is_never_replaced_in_silence) {
  const auto first = made();
  const auto renamed = certificates_for(folder_, {"barn.local", shed.addresses}, now);
  ASSERT_FALSE(renamed);
  EXPECT_EQ(renamed.error().code, "app.authority_for_another");
  ASSERT_EQ(std::remove(file("authority.key").c_str()), 0);
  const auto halved = certificates_for(folder_, shed, now);
  ASSERT_FALSE(halved);
  EXPECT_EQ(halved.error().code, "app.authority_incomplete");
  EXPECT_EQ(*read_text(file("authority.crt")), first.authority_pem);
}

TEST_F(Authority, a_spoilt_server_certificate_is_made_again) {
  made();
  std::ofstream(file("server.crt")) << "nothing of use";
  EXPECT_TRUE(made().renewed);
  ASSERT_EQ(std::remove(file("server.key").c_str()), 0);
  EXPECT_TRUE(made().renewed);
  EXPECT_FALSE(made().renewed);
}

TEST(NetworkNames, a_name_a_certificate_can_carry) {
  for (const char* good : {"garden.local", "shed-2.garden.example", "a.b", "192x.local"}) EXPECT_TRUE(is_host_name(good)) << good;
  for (const char* bad : {"", "garden", ".local", "garden.", "gar den.local", "-a.local", "a-.local", "192.0.2.7", "garden.local/..",
                          "g\xc3\xa4rten.local", "garden.local:80", "a..b", "*.local", "garden.local,DNS:bank.example"})
    EXPECT_FALSE(is_host_name(bad)) << bad;
  EXPECT_EQ(network_names("Garden.Local")->name, "garden.local");
  EXPECT_EQ(network_names("no").error().code, "app.name_unusable");
  EXPECT_TRUE(network_names()->name.ends_with(".local"));
}

}  // namespace
}  // namespace leafturn::app
