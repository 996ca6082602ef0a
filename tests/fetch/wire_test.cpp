// A server that misbehaves on the wire: what comes of it, and how often it was asked.
#include <gtest/gtest.h>

#include "tests/fetch/getting.hpp"
#include "tests/fetch/server/bad_server.hpp"

namespace leafturn::fetch {
namespace {

using namespace std::chrono_literals;

const std::string csv = "date,tmin_c,tmax_c\n2026-05-01,5,15\n";
using Pauses = std::vector<double>;

TEST(Wire, a_file_and_what_was_asked) {
  const BadServer server([](Connection& c, const Asked&, int) { c.answer(200, csv); });
  Getting getting(server.url("/data/a%20b.csv?from=2026&to=2027"));
  getting.question.contact = "garden@example.org";
  const auto got = getting();
  ASSERT_TRUE(got);
  EXPECT_EQ(got->bytes, csv);
  EXPECT_TRUE(got->whole_for_sure);
  EXPECT_FALSE(got->unchanged);
  const auto asked = server.asked();
  ASSERT_EQ(asked.size(), 1U);
  EXPECT_EQ(asked[0].line, "GET /data/a%20b.csv?from=2026&to=2027 HTTP/1.1");
  EXPECT_EQ(asked[0].header("host"), "127.0.0.1:" + std::to_string(server.port()));
  EXPECT_EQ(asked[0].header("user-agent"), std::string("leafturn/") + LEAFTURN_VERSION + " (garden@example.org)");
  EXPECT_EQ(asked[0].header("accept-encoding"), "gzip");
  for (const char* unasked : {"authorization", "cookie", "referer", "if-none-match", "if-modified-since", "range"})
    EXPECT_EQ(asked[0].headers.count(unasked), 0U) << unasked;
}

TEST(Wire, a_header_that_never_comes) {
  const BadServer server([](Connection& c, const Asked&, int) { c.wait(3000ms); });
  Getting getting(server.url());
  getting.question.limits.silence = 100ms;
  const auto got = getting();
  ASSERT_FALSE(got);
  EXPECT_EQ(got.error().code, "fetch.timeout");
  EXPECT_EQ(got.error().kind, ErrorKind::cannot);
  EXPECT_EQ(got.error().where.file, server.url());
  EXPECT_EQ(server.asked().size(), 1U) << "whoever is slow is not asked again";
}

TEST(Wire, a_header_that_drips) {
  const BadServer server([](Connection& c, const Asked&, int) {
    while (c.send("X")) c.wait(20ms);
  });
  Getting getting(server.url());
  getting.question.limits.silence = 200ms;
  getting.question.limits.whole = 400ms;
  EXPECT_EQ(getting.outcome(), "fetch.timeout");
  EXPECT_EQ(server.asked().size(), 1U);
}

TEST(Wire, a_body_that_drips) {
  const BadServer server([](Connection& c, const Asked&, int) {
    c.send("HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\nContent-Length: 100000\r\n\r\n");
    while (c.send("1")) c.wait(20ms);
  });
  Getting getting(server.url());
  getting.question.limits.silence = 200ms;
  getting.question.limits.whole = 400ms;
  EXPECT_EQ(getting.outcome(), "fetch.timeout");
  EXPECT_EQ(server.asked().size(), 1U);
}

TEST(Wire, a_body_that_stops_is_too_slow_and_one_whose_server_is_gone_is_cut_off) {
  const BadServer server([](Connection& c, const Asked& asked, int) {
    c.send("HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\nContent-Length: 100\r\n\r\n" + csv);
    if (asked.line.find("/silent") != std::string::npos) c.wait(3000ms);
  });
  Getting silent(server.url("/silent"));
  silent.question.limits.silence = 100ms;
  EXPECT_EQ(silent.outcome(), "fetch.timeout");
  EXPECT_EQ(server.asked().size(), 1U);
  Getting gone(server.url("/gone"));
  EXPECT_EQ(gone.outcome(), "fetch.cut_off");
  EXPECT_EQ(server.asked().size(), 5U);
  EXPECT_EQ(gone.pauses, (Pauses{1, 2, 4}));
}

TEST(Wire, chunks_whole_cut_and_garbled) {
  const std::string head = "HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\nTransfer-Encoding: chunked\r\n\r\n";
  const BadServer server([&](Connection& c, const Asked& asked, int) {
    const auto is = [&](const char* what) { return asked.line.find(what) != std::string::npos; };
    c.send(head + "5\r\ndate,\r\n");
    if (is("/whole")) c.send("3\r\nt,1\r\n0\r\n\r\n");
    if (is("/inside")) c.send("20\r\nt,1");
    if (is("/garbled")) c.send("zz\r\nt,1\r\n0\r\n\r\n");
  });
  EXPECT_EQ(Getting(server.url("/whole")).outcome(), "got date,t,1");
  for (const char* cut : {"/inside", "/between", "/garbled"}) {
    const auto before = server.asked().size();
    EXPECT_EQ(Getting(server.url(cut)).outcome(), "fetch.cut_off") << cut;
    EXPECT_EQ(server.asked().size(), before + 4) << cut;
  }
}

TEST(Wire, an_answer_without_length_is_taken_with_a_doubt) {
  const BadServer server([](Connection& c, const Asked&, int) { c.send("HTTP/1.0 200 OK\r\nContent-Type: text/csv\r\n\r\n" + csv); });
  const auto got = Getting(server.url())();
  ASSERT_TRUE(got);
  EXPECT_EQ(got->bytes, csv);
  EXPECT_FALSE(got->whole_for_sure);
}

TEST(Wire, lengths_that_are_none_or_too_much) {
  const BadServer server([](Connection& c, const Asked& asked, int) {
    const std::string length = asked.line.substr(5, asked.line.find(' ', 5) - 5);
    c.send("HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\nContent-Length: " + length + "\r\n\r\n" + csv);
  });
  for (const char* large : {"1048577", "99999999999999999999999"})
    EXPECT_EQ(Getting(server.url(std::string("/") + large)).outcome(), "fetch.too_large") << large;
  for (const char* none : {"-5", "many", "5x"}) EXPECT_EQ(Getting(server.url(std::string("/") + none)).outcome(), "fetch.garbled") << none;
  EXPECT_EQ(server.asked().size(), 5U) << "none of these passes by itself";
}

TEST(Wire, bodies_and_headers_without_end) {
  const BadServer server([](Connection& c, const Asked& asked, int) {
    const std::string much(65536, '1');
    if (asked.line.find("/body") != std::string::npos) c.send("HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\n\r\n");
    if (asked.line.find("/header") != std::string::npos) c.send("HTTP/1.1 200 OK\r\nX: ");
    while (c.send(much)) {
    }
  });
  for (const char* endless : {"/body", "/header"}) {
    const auto before = server.asked().size();
    EXPECT_EQ(Getting(server.url(endless)).outcome(), "fetch.too_large") << endless;
    EXPECT_EQ(server.asked().size(), before + 1) << endless;
  }
}

TEST(Wire, a_connection_that_is_reset_or_closed_without_a_word) {
  const BadServer server([](Connection& c, const Asked& asked, int turn) {
    if (asked.line.find("/reset") != std::string::npos) c.reset();
    if (asked.line.find("/twice") != std::string::npos && turn == 11) c.answer(200, csv);
  });
  for (const char* how : {"/reset", "/close"}) {
    Getting getting(server.url(how));
    EXPECT_EQ(getting.outcome(), "fetch.hung_up") << how;
    EXPECT_EQ(getting.pauses, (Pauses{1, 2, 4}));
  }
  EXPECT_EQ(server.asked().size(), 8U);
  EXPECT_EQ(Getting(server.url("/twice")).outcome(), "got " + csv) << "the third try succeeds";
  EXPECT_EQ(server.asked().size(), 11U);
}

TEST(Wire, nobody_there) {
  const std::string port = std::to_string(closed_port());
  for (const std::string& url : {"http://127.0.0.1:" + port + "/", "http://[::1]:" + port + "/", "https://localhost:" + port + "/"}) {
    Getting getting(url);
    EXPECT_EQ(getting.outcome(), "fetch.refused") << url;
    EXPECT_EQ(getting.pauses.size(), 3U) << url;
  }
  // RFC 6761: a name that no resolver may know.
  EXPECT_EQ(Getting("http://nowhere.invalid/x").outcome(), "fetch.no_such_host");
}

TEST(Wire, no_http_at_all) {
  const BadServer server([](Connection& c, const Asked&, int) { c.send("SSH-2.0-x\r\n"); });
  EXPECT_EQ(Getting(server.url()).outcome(), "fetch.hung_up");
}

}  // namespace
}  // namespace leafturn::fetch
