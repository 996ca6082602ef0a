// The socket: who can reach it, what it refuses before a route is asked, how long it waits, and how it stops.
#include <gtest/gtest.h>
#include <httplib.h>

#include <condition_variable>
#include <mutex>
#include <nlohmann/json.hpp>

#include "tests/server/listening.hpp"

namespace leafturn::server {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;
using test::get;
using test::Listening;
using test::post;
using test::Wire;

std::string code_in(const std::string& answer) {
  const auto body = answer.find("\r\n\r\n");
  if (body == std::string::npos) return "no body: " + answer;
  const json value = json::parse(answer.substr(body + 4), nullptr, false);
  if (value.is_discarded()) return "not JSON: " + answer.substr(body);
  return value.at("error").at("code").get<std::string>();
}

int count_of(const std::string& text, const std::string& what) {
  int n = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
  return n;
}

TEST(Listener, answers_with_query_and_safety_headers) {
  const Listening server;
  const auto answer = httplib::Client("127.0.0.1", server.port).Get("/hello?who=bed%207");
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->status, 200);
  EXPECT_EQ(answer->body, "bed 7");
  EXPECT_TRUE(answer->has_header("Content-Security-Policy"));
  EXPECT_TRUE(answer->has_header("Date"));
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
  ListenOptions second;
  second.port = server.port;
  second.stop = [] { return true; };
  const auto refused = listen(Router{}, second);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "server.port_taken");
}

TEST(Listener, a_connection_is_kept_and_requests_keep_their_order) {
  const Listening server;
  const Wire wire(server.port);
  wire.send(get("/hello?who=one") + post("/size", "{}") + get("/hello?who=three", "Connection: close\r\n"));
  const std::string answers = wire.read();
  const auto one = answers.find("\r\n\r\none"), two = answers.find("\r\n\r\n2"), three = answers.find("\r\n\r\nthree");
  ASSERT_NE(three, std::string::npos) << answers;
  EXPECT_LT(one, two);
  EXPECT_LT(two, three);
  EXPECT_EQ(count_of(answers, "HTTP/1.1 200 OK"), 3);
}

// What proxies that pass nothing on speak: never taken for somebody at this machine.
TEST(Listener, an_older_program_is_a_stranger_and_gets_one_answer_and_a_close) {
  const Listening server;
  const std::string answer = server.raw("GET /hello?who=x HTTP/1.0\r\nHost: 127.0.0.1\r\n\r\n");
  EXPECT_NE(answer.find("Connection: close"), std::string::npos) << answer;
  EXPECT_NE(answer.find("403"), std::string::npos);
  EXPECT_NE(answer.find("server.host_not_local"), std::string::npos);
}

TEST(Listener, head_has_the_length_and_no_body) {
  const Listening server;
  const std::string answer = server.raw("HEAD /hello?who=seven HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n");
  EXPECT_NE(answer.find("Content-Length: 5"), std::string::npos) << answer;
  EXPECT_EQ(answer.substr(answer.size() - 4), "\r\n\r\n");
}

TEST(Listener, refuses_a_body_over_a_megabyte) {
  const Listening server;
  const auto fits = httplib::Client("127.0.0.1", server.port).Post("/size", std::string(1 << 20, 'x'), "application/json");
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

// Every way of hiding a second request in the first that head_test knows, against the real socket: the inner one never runs, nothing is
// answered twice, and the connection ends.
TEST(Listener, a_refused_body_is_never_read_as_a_request) {
  const Listening server;
  const std::string inner = post("/size", "{}");
  const std::string length = "Content-Length: " + std::to_string(inner.size()) + "\r\n";
  const std::string start = "POST /nowhere HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n";
  for (const std::string& hidden :
       {start + "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + inner,
        start + length + "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + inner,
        start + "Transfer-Encoding: chunked\r\n" + length + "\r\n0\r\n\r\n" + inner,
        start + "Content-Length: 0\r\n" + length + "\r\n" + inner, start + length + "Content-Length: 0\r\n\r\n" + inner,
        start + "Content-Length: 0, " + std::to_string(inner.size()) + "\r\n\r\n" + inner, start + "Content-Length:\r\n 0\r\n\r\n" + inner,
        start + "Content-Length : 0\r\n\r\n" + inner, start + "X: y\nContent-Length: 0\r\n\r\n" + inner,
        start + "X: y\rContent-Length: 0\r\n\r\n" + inner, start + "Transfer-Encoding: xchunked\r\n\r\n" + inner,
        "GET /hello HTTP/1.1\nHost: 127.0.0.1\n\n" + inner}) {
    const std::string answer = server.raw(hidden);
    EXPECT_EQ(count_of(answer, "HTTP/1.1 "), 1) << hidden << answer;
    EXPECT_EQ(answer.compare(0, 10, "HTTP/1.1 4"), 0) << hidden << answer;
    EXPECT_EQ(code_in(answer).rfind("server.", 0), 0U);
  }
  EXPECT_EQ(server.posts, 0);
  // With an honest length it is a body, and bodies aren't run.
  server.raw(start + length + "Connection: close\r\n\r\n" + inner);
  EXPECT_EQ(server.posts, 0);
}

TEST(Listener, climbs_out_of_nothing) {
  const Listening server;
  for (const char* target : {"/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/..%5c..%5cledger.db", "/beds/%00", "//etc/passwd"}) {
    const std::string answer = server.raw(get(target, "Connection: close\r\n"));
    EXPECT_EQ(answer.compare(0, 10, "HTTP/1.1 4"), 0) << target << answer;
    EXPECT_EQ(answer.find("root:"), std::string::npos);
  }
}

TEST(Listener, what_is_refused_early_has_the_error_shape_and_the_policy) {
  const Listening server;
  for (const auto& bytes :
       std::vector<std::string>{std::string("NONSENSE\r\n\r\n"), "GET /" + std::string(9000, 'a') + " HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
                                get("/hello", "X: " + std::string(20000, 'a') + "\r\n"),
                                std::string("BREW /pot HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"),
                                std::string("DELETE /size HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")}) {
    const std::string answer = server.raw(bytes);
    EXPECT_EQ(code_in(answer).rfind("server.", 0), 0U) << answer.substr(0, 400);
    EXPECT_NE(answer.find("Content-Security-Policy"), std::string::npos);
  }
  const std::string spanish = server.raw(get("/nothing", "Accept-Language: es\r\nConnection: close\r\n"));
  EXPECT_NE(spanish.find("no hay nada"), std::string::npos) << spanish;
}

TEST(Listener, a_slow_head_is_cut) {
  const Listening server([](Router&, ListenOptions& options) { options.bounds.head = 400ms; });
  const Wire wire(server.port);
  const auto began = std::chrono::steady_clock::now();
  // A byte now and then keeps it busy, but not for long: the time is for the whole head.
  const std::string slow = get("/hello");
  for (std::size_t i = 0; i < slow.size() && std::chrono::steady_clock::now() - began < 1s; ++i) {
    if (!wire.send(slow.substr(i, 1))) break;
    std::this_thread::sleep_for(50ms);
  }
  EXPECT_TRUE(wire.ends(1s));
  const auto took = std::chrono::steady_clock::now() - began;
  EXPECT_GT(took, 350ms);
  EXPECT_LT(took, 3s);
}

TEST(Listener, a_slow_body_is_cut) {
  const Listening server([](Router&, ListenOptions& options) { options.bounds.body_time = 300ms; });
  const Wire wire(server.port);
  wire.send("POST /size HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{");
  EXPECT_TRUE(wire.ends(2s));
  EXPECT_EQ(server.posts, 0);
}

TEST(Listener, who_does_not_read_is_cut_and_nobody_waits_for_him) {
  const std::string large(64 << 20, 'x');
  const Listening server([&](Router& router, ListenOptions& options) {
    options.bounds.write = 400ms;
    router.add("GET", "/large", [&](const Request&) { return Response{200, "text/plain", large, {}}; });
  });
  std::vector<std::unique_ptr<Wire>> deaf;
  for (int i = 0; i < 8; ++i) {
    deaf.push_back(std::make_unique<Wire>(server.port));
    deaf.back()->send(get("/large"));
  }
  const auto answer = httplib::Client("127.0.0.1", server.port).Get("/hello");
  EXPECT_TRUE(answer) << "while eight don't read";
  std::this_thread::sleep_for(1s);
  EXPECT_LT(deaf.front()->read().size(), large.size());
}

TEST(Listener, an_idle_connection_ends) {
  const Listening server([](Router&, ListenOptions& options) { options.bounds.idle = 200ms; });
  const Wire silent(server.port), served(server.port);
  served.send(get("/hello"));
  EXPECT_NE(served.answer().find("200 OK"), std::string::npos);
  EXPECT_TRUE(silent.ends(2s));
  EXPECT_TRUE(served.ends(2s));
}

TEST(Listener, past_the_limit_the_longest_idle_makes_room) {
  const Listening server([](Router&, ListenOptions& options) { options.bounds.connections = 3; });
  std::vector<std::unique_ptr<Wire>> wires;
  for (int i = 0; i < 4; ++i) {
    wires.push_back(std::make_unique<Wire>(server.port));
    wires.back()->send(get("/hello?who=x"));
    EXPECT_NE(wires.back()->answer().find("200 OK"), std::string::npos) << i;
    std::this_thread::sleep_for(5ms);
  }
  EXPECT_TRUE(wires.front()->ends(2s));
  wires.back()->send(get("/hello?who=still"));
  EXPECT_NE(wires.back()->answer().find("still"), std::string::npos);
}

/// A handler that waits until the test lets it go.
class Gate {
 public:
  void wait() {
    std::unique_lock lock(mutex_);
    ++inside_;
    changed_.notify_all();
    changed_.wait_for(lock, 20s, [&] { return open_; });
  }
  void wait_until_inside(int n) {
    std::unique_lock lock(mutex_);
    changed_.wait_for(lock, 20s, [&] { return inside_ >= n; });
  }
  void open() {
    const std::lock_guard lock(mutex_);
    open_ = true;
    changed_.notify_all();
  }

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
  int inside_ = 0;
  bool open_ = false;
};

TEST(Listener, too_many_waiting_are_told_to_come_back) {
  Gate gate;
  const Listening server([&](Router& router, ListenOptions& options) {
    options.bounds.waiting = 1;
    router.add("GET", "/gate", [&](const Request&) {
      gate.wait();
      return Response{200, "text/plain", "through", {}};
    });
  });
  const Wire first(server.port);
  first.send(get("/gate"));
  gate.wait_until_inside(1);
  const std::string busy = server.raw(get("/hello", "Connection: close\r\n"));
  EXPECT_EQ(code_in(busy), "server.busy") << busy;
  gate.open();
  EXPECT_NE(first.answer().find("through"), std::string::npos);
}

TEST(Listener, stops_when_asked_after_what_is_in_hand) {
  Gate gate;
  Listening server([&](Router& router, ListenOptions&) {
    router.add("GET", "/gate", [&](const Request&) {
      gate.wait();
      return Response{200, "text/plain", "through", {}};
    });
  });
  const Wire idle(server.port), busy(server.port);
  idle.send(get("/hello"));
  EXPECT_NE(idle.answer().find("200 OK"), std::string::npos);
  busy.send(get("/gate"));
  gate.wait_until_inside(1);
  std::jthread stopping([&] { server.stop(); });
  EXPECT_TRUE(idle.ends(3s));
  gate.open();
  const std::string last = busy.read();
  EXPECT_NE(last.find("through"), std::string::npos);
  EXPECT_NE(last.find("Connection: close"), std::string::npos) << last;
  stopping.join();
  EXPECT_TRUE(server.status) << server.status.error().code;
  EXPECT_FALSE(httplib::Client("127.0.0.1", server.port).Get("/hello"));
}

TEST(Listener, the_log_has_one_entry_a_request_and_no_query) {
  std::mutex mutex;
  std::vector<Served> log;
  Listening server([&](Router&, ListenOptions& options) {
    options.log = [&](const Served& served) {
      const std::lock_guard lock(mutex);
      log.push_back(served);
    };
  });
  server.raw(get("/hello?who=secret", "Connection: close\r\n"));
  server.raw("NONSENSE\r\n\r\n");
  server.stop();
  ASSERT_EQ(log.size(), 2U);
  EXPECT_EQ(log[0].method + " " + log[0].path, "GET /hello");
  EXPECT_EQ(log[0].status, 200);
  EXPECT_EQ(log[0].bytes, 6U);
  EXPECT_EQ(log[0].client, "127.0.0.1");
  EXPECT_EQ(log[1].status, 400);
}

}  // namespace
}  // namespace leafturn::server
