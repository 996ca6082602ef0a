// Bytes that could be read in two ways never reach a route. The cases are the classes of request smuggling that RFC 9112 (sections 2.2,
// 5, 6.1, 6.3, 11.2) warns of; sections from memory.
#include <gtest/gtest.h>

#include "server/transport/head.hpp"
#include "server/transport/target.hpp"

namespace leafturn::server::transport {
namespace {

constexpr std::size_t megabyte = 1 << 20;
const std::string post = "POST /api/events HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n";

int status_of(const std::string& head) {
  const auto refused = refuse_head(head, megabyte);
  return refused ? refused->status : 200;
}

TEST(Head, what_browsers_and_programs_send_is_taken) {
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: 127.0.0.1:8080\r\n\r\n"), 200);
  EXPECT_EQ(status_of("GET / HTTP/1.0\r\n\r\n"), 200);
  EXPECT_EQ(status_of("GET /beds/7%20n?at=2026-06-13T06:30&x=a+b HTTP/1.1\r\nHost: [::1]:8080\r\nAccept: */*\r\nAccept: text/html\r\n\r\n"),
            200);
  EXPECT_EQ(status_of(post + "Content-Length: 1048576\r\nX-Empty:\r\nUser-Agent:\tmobile \xc3\xb1\r\n\r\n"), 200);
}

TEST(Head, lengths_that_disagree_or_could) {
  EXPECT_EQ(status_of(post + "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n"), 411);
  EXPECT_EQ(status_of(post + "Transfer-Encoding: chunked\r\nContent-Length: 5\r\n\r\n"), 411);
  for (const char* coding : {"Transfer-Encoding: chunked", "Transfer-Encoding: identity", "Transfer-Encoding: xchunked",
                             "transfer-encoding:\tchunked", "Transfer-Encoding: gzip, chunked", "Transfer-Encoding:"})
    EXPECT_EQ(status_of(post + coding + "\r\n\r\n"), 411) << coding;
  EXPECT_EQ(status_of(post + "Content-Length: 5\r\nContent-Length: 6\r\n\r\n"), 400);
  EXPECT_EQ(status_of(post + "Content-Length: 5\r\ncontent-length: 5\r\n\r\n"), 400);
  for (const char* length : {"5, 5", "+5", "-5", "0x5", "5 5", "", "5;", "\xd9\xa5"})
    EXPECT_EQ(status_of(post + "Content-Length: " + length + "\r\n\r\n"), 400) << length;
  EXPECT_EQ(status_of(post + "Content-Length: 1048577\r\n\r\n"), 413);
  EXPECT_EQ(status_of(post + "Content-Length: 99999999999999999999999999\r\n\r\n"), 413);
}

TEST(Head, lines_that_end_or_go_on_oddly) {
  EXPECT_EQ(status_of("GET / HTTP/1.1\nHost: 127.0.0.1\n\n"), 400);
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: 127.0.0.1\nX: y\r\n\r\n"), 400);
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: 127.0.0.1\rX: y\r\n\r\n"), 400);
  EXPECT_EQ(status_of(post + "X-Long: a\r\n b\r\n\r\n"), 400) << "a folded line";
  EXPECT_EQ(status_of(post + "Transfer-Encoding:\r\n chunked\r\n\r\n"), 411) << "before the fold is even seen";
  EXPECT_EQ(status_of(post + " Content-Length: 5\r\n\r\n"), 400);
  EXPECT_EQ(status_of(post + "Content-Length : 5\r\n\r\n"), 400) << "a blank before the colon";
  EXPECT_EQ(status_of(post + "Content\tLength: 5\r\n\r\n"), 400);
  EXPECT_EQ(status_of(post + "no colon here\r\n\r\n"), 400);
  EXPECT_EQ(status_of(post + ": nameless\r\n\r\n"), 400);
  EXPECT_EQ(status_of(post + std::string("X: a\0b\r\n\r\n", 10)), 400);
  EXPECT_EQ(status_of(post + "X: a\x7f\r\n\r\n"), 400);
  EXPECT_EQ(status_of("\r\nGET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"), 400);
}

TEST(Head, request_lines_that_are_none) {
  for (const char* line :
       {"GET  / HTTP/1.1", "GET / HTTP/1.1 ", "GET /", "GET / HTTP/2.0", "GET / HTTP/0.9", "GET / http/1.1", "GET /a b HTTP/1.1",
        "GET\t/ HTTP/1.1", "GET http://127.0.0.1/ HTTP/1.1", "OPTIONS * HTTP/1.1", "CONNECT garden.example:443 HTTP/1.1", "G@T / HTTP/1.1",
        " GET / HTTP/1.1", "GET /#part HTTP/1.1", "NONSENSE", ""})
    EXPECT_EQ(status_of(std::string(line) + "\r\nHost: 127.0.0.1\r\n\r\n"), 400) << line;
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\n\r\n"), 400) << "no Host";
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: garden.example\r\n\r\n"), 400);
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: leafturn=a\r\nCookie: leafturn=b\r\n\r\n"), 400);
}

TEST(Head, sizes) {
  EXPECT_EQ(status_of("GET /" + std::string(8192, 'a') + " HTTP/1.1\r\nHost: h\r\n\r\n"), 414);
  EXPECT_EQ(status_of("GET /" + std::string(8191, 'a') + " HTTP/1.1\r\nHost: h\r\n\r\n"), 200);
  EXPECT_EQ(status_of("GET / HTTP/1.1\r\nHost: h\r\nX: " + std::string(17000, 'a') + "\r\n\r\n"), 431);
  std::string many = "GET / HTTP/1.1\r\nHost: h\r\n";
  for (int i = 0; i < 99; ++i) many += "X: y\r\n";
  EXPECT_EQ(status_of(many + "\r\n"), 200);
  EXPECT_EQ(status_of(many + "X: y\r\n\r\n"), 431);
}

TEST(Target, is_taken_apart_and_decoded) {
  const auto target = read_target("/beds/7%20n%C3%B6?at=2026-06-13T06:30&who=a+b%2B&at=later&flag&&=x");
  ASSERT_TRUE(target);
  EXPECT_EQ(target->path, "/beds/7 n\xc3\xb6");
  EXPECT_EQ(target->query.at("at"), "2026-06-13T06:30") << "the first of two";
  EXPECT_EQ(target->query.at("who"), "a b+");
  EXPECT_EQ(target->query.at("flag"), "");
  EXPECT_EQ(read_target("/a+b")->path, "/a+b");
  EXPECT_TRUE(read_target("/beds/7..8/.hidden/..."));
}

TEST(Target, climbs_out_of_nothing) {
  for (const char* target :
       {"/..", "/../etc/passwd", "/beds/../../ledger.db", "/beds/..", "/./app.js", "/%2e%2e/ledger.db", "/%2E./x", "/beds%2f..%2fx",
        "/..%5cledger.db", "/a%00b", "/a%0d%0aSet-Cookie:x", "/%", "/%2", "/%zz", "/a?b=%", "/a?b=%0a", "", "a", "?a=b"})
    EXPECT_FALSE(read_target(target)) << target;
}

}  // namespace
}  // namespace leafturn::server::transport
