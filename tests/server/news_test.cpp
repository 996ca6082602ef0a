// Server-sent events without a thread for each page that listens.
#include <gtest/gtest.h>

#include <fstream>

#include "tests/server/listening.hpp"

namespace leafturn::server {
namespace {

using namespace std::chrono_literals;
using test::get;
using test::Listening;
using test::Wire;

struct Ledger {
  std::atomic<std::uint64_t> seq{7};
  std::atomic<bool> may_listen{true};

  std::function<void(Router&, ListenOptions&)> served(std::chrono::milliseconds heartbeat = 20s) {
    return [this, heartbeat](Router& router, ListenOptions& options) {
      options.bounds.heartbeat = heartbeat;
      options.last_seq = [this] { return std::optional{seq.load()}; };
      router.add("GET", "/news", [this](const Request&) {
        if (!may_listen) return Response{403, "text/plain", "no more", {}};
        Response response{200, "text/event-stream", "", {}};
        response.news = true;
        return response;
      });
    };
  }
};

TEST(News, tells_where_the_ledger_is_and_whenever_it_grows) {
  Ledger ledger;
  const Listening server(ledger.served());
  const Wire page(server.port);
  page.send(get("/news"));
  const std::string first = page.read("{\"seq\":7}\n\n");
  EXPECT_NE(first.find("Content-Type: text/event-stream"), std::string::npos) << first;
  EXPECT_NE(first.find("Content-Security-Policy"), std::string::npos);
  EXPECT_NE(first.find("\r\n\r\nevent: news\ndata: {\"seq\":7}\n\n"), std::string::npos) << first;
  ledger.seq = 8;
  EXPECT_EQ(page.read("\n\n"), "event: news\ndata: {\"seq\":8}\n\n");
  ledger.seq = 30;
  EXPECT_EQ(page.read("\n\n"), "event: news\ndata: {\"seq\":30}\n\n");
}

TEST(News, a_heartbeat_comes_in_between_and_who_may_no_longer_listen_is_cut) {
  Ledger ledger;
  const Listening server(ledger.served(200ms));
  const Wire page(server.port);
  page.send(get("/news"));
  page.read("{\"seq\":7}\n\n");
  EXPECT_EQ(page.read("\n\n"), ": still here\n\n");
  ledger.may_listen = false;
  EXPECT_TRUE(page.ends(3s));
}

TEST(News, a_page_that_went_away_is_forgotten) {
  Ledger ledger;
  Listening server(ledger.served(100ms));
  {
    const Wire page(server.port);
    page.send(get("/news"));
    page.read("{\"seq\":7}\n\n");
  }
  std::this_thread::sleep_for(500ms);
  const auto began = std::chrono::steady_clock::now();
  server.stop();
  EXPECT_LT(std::chrono::steady_clock::now() - began, 2s);
  EXPECT_TRUE(server.status);
}

long threads_of_this_process() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);)
    if (line.starts_with("Threads:")) return std::stol(line.substr(8));
  return -1;
}

TEST(News, two_hundred_pages_listen_without_a_thread_each_and_all_hear) {
  Ledger ledger;
  Listening server(ledger.served());
  std::vector<std::unique_ptr<Wire>> pages;
  const auto open = [&] {
    pages.push_back(std::make_unique<Wire>(server.port));
    pages.back()->send(get("/news"));
    EXPECT_NE(pages.back()->read("{\"seq\":7}\n\n").find("{\"seq\":7}"), std::string::npos);
  };
  // The first ones bring up the workers.
  for (int i = 0; i < 10; ++i) open();
  const long few = threads_of_this_process();
  while (pages.size() < 200) open();
  EXPECT_LE(threads_of_this_process(), few);
  ledger.seq = 8;
  for (const auto& page : pages) EXPECT_EQ(page->read("\n\n"), "event: news\ndata: {\"seq\":8}\n\n");
  // And the server stops at once, listeners or not.
  const auto began = std::chrono::steady_clock::now();
  server.stop();
  EXPECT_LT(std::chrono::steady_clock::now() - began, 3s);
}

}  // namespace
}  // namespace leafturn::server
