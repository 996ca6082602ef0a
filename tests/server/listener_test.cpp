// The socket: who can reach it, what it refuses before a route is asked, and how it stops.
#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <httplib.h>
#include <sys/socket.h>
#include <unistd.h>

#include <atomic>
#include <future>
#include <nlohmann/json.hpp>
#include <thread>

#include "server/listener.hpp"

namespace leafturn::server {
namespace {

using nlohmann::json;

/// A small router served on a free port for one test.
class Listening {
 public:
  Listening() {
    router_.add("GET", "/hello",
                [](const Request& request) { return Response{200, "text/plain", request.asked("who") ? *request.asked("who") : "", {}}; });
    router_.add("POST", "/size", [this](const Request& request) {
      ++posts;
      return Response{200, "text/plain", std::to_string(request.body.size()), {}};
    });
    std::promise<int> promise;
    auto bound = promise.get_future();
    thread_ = std::jthread([this, told = std::move(promise)]() mutable {
      status = listen(router_, {0, [&](int at) { told.set_value(at); }, [this] { return stop_.load(); }});
    });
    port = bound.get();
  }
  ~Listening() { stop(); }
  void stop() {
    stop_ = true;
    if (thread_.joinable()) thread_.join();
  }
  httplib::Client client() const { return httplib::Client("127.0.0.1", port); }
  /// Bytes as they are, and all that comes back.
  std::string raw(const std::string& bytes) const {
    const int s = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    inet_pton(AF_INET, "127.0.0.1", &to.sin_addr);
    EXPECT_EQ(connect(s, reinterpret_cast<sockaddr*>(&to), sizeof to), 0);
    EXPECT_EQ(send(s, bytes.data(), bytes.size(), MSG_NOSIGNAL), static_cast<ssize_t>(bytes.size()));
    std::string got(65536, '\0');
    std::size_t have = 0;
    for (ssize_t n = 1; n > 0 && have < got.size(); have += static_cast<std::size_t>(std::max<ssize_t>(n, 0)))
      n = recv(s, got.data() + have, got.size() - have, 0);
    close(s);
    got.resize(have);
    return got;
  }

  int port = 0;
  std::atomic<int> posts{0};
  Status status;

 private:
  Router router_;
  std::atomic<bool> stop_{false};
  std::jthread thread_;
};

std::string code_in(const std::string& body) {
  const json value = json::parse(body, nullptr, false);
  if (value.is_discarded()) return "not JSON: " + body;
  return value.at("error").at("code").get<std::string>();
}

TEST(Listener, answers_with_query_and_safety_headers) {
  const Listening server;
  const auto answer = server.client().Get("/hello?who=bed%207");
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->status, 200);
  EXPECT_EQ(answer->body, "bed 7");
  EXPECT_TRUE(answer->has_header("Content-Security-Policy"));
  EXPECT_EQ(answer->get_header_value("Connection"), "close");
}

TEST(Listener, is_not_on_the_network) {
  const Listening server;
  // Every address of this machine outside 127.0.0.1: a connection to 127.0.0.2 (also the loopback on Linux) must not be accepted.
  httplib::Client other("127.0.0.2", server.port);
  other.set_connection_timeout(1);
  EXPECT_FALSE(other.Get("/hello"));
}

TEST(Listener, two_servers_do_not_share_a_port) {
  const Listening server;
  const auto second = listen(Router{}, {server.port, {}, [] { return true; }});
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().code, "server.port_taken");
}

TEST(Listener, refuses_a_body_over_a_megabyte) {
  const Listening server;
  const auto fits = server.client().Post("/size", std::string(1 << 20, 'x'), "application/json");
  ASSERT_TRUE(fits);
  EXPECT_EQ(fits->body, "1048576");
  const std::string large =
      server.raw("POST /size HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: 1048577\r\n\r\n" +
                 std::string(100, 'x'));
  EXPECT_NE(large.find(" 413 "), std::string::npos) << large.substr(0, 200);
  EXPECT_NE(large.find("server.body_too_large"), std::string::npos);
}

TEST(Listener, refuses_a_body_of_unknown_length) {
  const Listening server;
  const std::string answer = server.raw(
      "POST /size HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nTransfer-Encoding: "
      "chunked\r\n\r\n3\r\nabc\r\n0\r\n\r\n");
  EXPECT_NE(answer.find(" 411 "), std::string::npos) << answer.substr(0, 200);
  EXPECT_NE(answer.find("server.length_needed"), std::string::npos);
  EXPECT_EQ(server.posts, 0);
}

TEST(Listener, a_refused_body_is_never_read_as_a_request) {
  const Listening server;
  const std::string inner = "POST /size HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}";
  const std::string from_elsewhere =
      "POST /size HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: http://garden.example\r\nContent-Type: text/plain\r\n";
  server.raw(from_elsewhere + "Content-Length: " + std::to_string(inner.size()) + "\r\n\r\n" + inner);
  server.raw(from_elsewhere + "Transfer-Encoding: chunked\r\n\r\n" + inner);
  EXPECT_EQ(server.posts, 0);
}

TEST(Listener, what_the_library_refuses_has_the_error_shape_too) {
  const Listening server;
  for (const auto& bytes :
       std::vector<std::string>{std::string("NONSENSE\r\n\r\n"), "GET /" + std::string(9000, 'a') + " HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
                                std::string("BREW /pot HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")}) {
    const std::string answer = server.raw(bytes);
    const auto body = answer.find("\r\n\r\n");
    ASSERT_NE(body, std::string::npos) << bytes.substr(0, 40);
    EXPECT_EQ(code_in(answer.substr(body + 4)).rfind("server.", 0), 0U) << answer.substr(0, 400);
    EXPECT_NE(answer.find("Content-Security-Policy"), std::string::npos);
  }
  const auto wrong = server.client().Delete("/size");
  ASSERT_TRUE(wrong);
  EXPECT_EQ(code_in(wrong->body), "server.method_not_allowed");
}

TEST(Listener, stops_when_asked) {
  Listening server;
  ASSERT_TRUE(server.client().Get("/hello"));
  server.stop();
  EXPECT_TRUE(server.status) << server.status.error().code;
  EXPECT_FALSE(server.client().Get("/hello"));
}

}  // namespace
}  // namespace leafturn::server
