// Who answers under https: certificates made for the test, good and bad.
#include <gtest/gtest.h>

#include <fstream>

#include "tests/fetch/getting.hpp"
#include "tests/fetch/server/bad_server.hpp"
#include "tests/support/data.hpp"

namespace leafturn::fetch {
namespace {

const std::string csv = "date,tmin_c,tmax_c\n2026-05-01,5,15\n";
void give_csv(Connection& c, const Asked&, int) { c.answer(200, csv); }

class Secure : public testing::Test {
 protected:
  std::string trusted(const Identity& authority) {
    const std::string folder = test::fresh_folder(std::string("secure-") + testing::UnitTest::GetInstance()->current_test_info()->name());
    std::ofstream(folder + "/ca.pem") << authority.certificate;
    return folder + "/ca.pem";
  }
  std::string outcome(const std::string& url, const std::string& ca) {
    Getting getting(url);
    getting.question.ca_file = ca;
    const std::string code = getting.outcome();
    EXPECT_TRUE(getting.pauses.empty()) << "a bad certificate doesn't pass by itself";
    return code;
  }
  const Identity authority_ = make_authority();
};

TEST_F(Secure, an_authority_of_ones_own_is_trusted_only_when_named) {
  const Identity good = make_identity(authority_, "IP:127.0.0.1,DNS:localhost");
  const BadServer server(give_csv, &good);
  const std::string ca = trusted(authority_);
  EXPECT_EQ(outcome(server.url(), ca), "got " + csv);
  EXPECT_EQ(outcome("https://localhost:" + std::to_string(server.port()) + "/", ca), "got " + csv);
  EXPECT_EQ(server.asked().size(), 2U);
  EXPECT_EQ(outcome(server.url(), ""), "fetch.certificate");
  const Identity stranger = make_authority();
  EXPECT_EQ(outcome(server.url(), trusted(stranger)), "fetch.certificate");
  EXPECT_EQ(server.asked().size(), 2U) << "nothing is asked of someone who can't prove who he is";
}

TEST_F(Secure, a_certificate_that_signs_itself_is_refused) {
  const BadServer server(give_csv, &authority_);
  EXPECT_EQ(outcome(server.url(), ""), "fetch.certificate");
  EXPECT_TRUE(server.asked().empty());
}

TEST_F(Secure, a_certificate_of_another_host_is_refused) {
  for (const char* names : {"DNS:weather.example.org", "IP:127.0.0.2", "DNS:*.example.org", ""}) {
    const Identity other = make_identity(authority_, names);
    const BadServer server(give_csv, &other);
    EXPECT_EQ(outcome(server.url(), trusted(authority_)), "fetch.certificate_host") << names;
    EXPECT_TRUE(server.asked().empty());
  }
}

TEST_F(Secure, a_certificate_that_has_ended_is_refused) {
  const Identity ended = make_identity(authority_, "IP:127.0.0.1", -1);
  const BadServer server(give_csv, &ended);
  EXPECT_EQ(outcome(server.url(), trusted(authority_)), "fetch.certificate");
  EXPECT_TRUE(server.asked().empty());
}

TEST_F(Secure, never_on_to_an_open_connection) {
  const BadServer open(give_csv);
  const Identity good = make_identity(authority_, "IP:127.0.0.1");
  const BadServer server([&](Connection& c, const Asked&, int) { c.answer(302, "", "Location: " + open.url() + "\r\n"); }, &good);
  EXPECT_EQ(outcome(server.url(), trusted(authority_)), "fetch.downgrade");
  EXPECT_EQ(server.asked().size(), 1U);
  EXPECT_TRUE(open.asked().empty());
  // The other way round is fine.
  const BadServer safe(give_csv, &good);
  const BadServer entrance([&](Connection& c, const Asked&, int) { c.answer(301, "", "Location: " + safe.url() + "\r\n"); });
  EXPECT_EQ(outcome(entrance.url(), trusted(authority_)), "got " + csv);
}

TEST_F(Secure, an_open_server_where_a_secure_one_should_be) {
  const BadServer open(give_csv);
  Getting getting("https://127.0.0.1:" + std::to_string(open.port()) + "/");
  getting.question.limits.connect = getting.question.limits.silence = std::chrono::milliseconds(300);
  EXPECT_EQ(getting.outcome(), "fetch.insecure");
  EXPECT_TRUE(open.asked().empty());
}

TEST_F(Secure, an_answer_without_length_keeps_its_doubt) {
  const Identity good = make_identity(authority_, "IP:127.0.0.1");
  const BadServer server(
      [](Connection& c, const Asked& asked, int) {
        c.send("HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\n\r\n" + csv);
        if (asked.line.find("/rude") != std::string::npos) c.no_goodbye();
      },
      &good);
  // The library takes an end without TLS's goodbye for an end, so even a polite one proves nothing.
  for (const char* how : {"/polite", "/rude"}) {
    Getting getting(server.url(how));
    getting.question.ca_file = trusted(authority_);
    const auto got = getting();
    ASSERT_TRUE(got) << how;
    EXPECT_FALSE(got->whole_for_sure) << how;
  }
}

TEST_F(Secure, certificates_that_cannot_be_read_are_told) {
  const std::string folder = test::fresh_folder("secure-unreadable");
  std::ofstream(folder + "/ca.pem") << "no certificate";
  const BadServer server(give_csv, &authority_);
  EXPECT_EQ(outcome(server.url(), folder + "/ca.pem"), "fetch.certificates");
  EXPECT_EQ(outcome(server.url(), folder + "/none.pem"), "fetch.ca_file");
  EXPECT_EQ(outcome(server.url(), folder), "fetch.ca_file");
}

}  // namespace
}  // namespace leafturn::fetch
