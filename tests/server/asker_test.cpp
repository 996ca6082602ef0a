// Who is asking: nobody's claim makes him the lead, and a proxy's word counts from its own address only.
#include <gtest/gtest.h>

#include "server/transport/asker.hpp"

namespace leafturn::server::transport {
namespace {

struct Asked {
  std::string client;
  bool loopback, secure, heard;
  bool operator==(const Asked&) const = default;
};

Asked asked(const std::string& peer, std::map<std::string, std::string> headers, const std::optional<std::string>& proxy = {},
            bool tls = false) {
  Request request;
  headers.emplace("host", "127.0.0.1:8080");
  request.headers = std::move(headers);
  const bool heard = set_asker(request, peer, tls, proxy);
  return {request.client, request.loopback, request.secure, heard};
}

TEST(Asker, sits_at_this_machine_only_when_all_agrees) {
  EXPECT_EQ(asked("127.0.0.1", {}), (Asked{"127.0.0.1", true, false, true}));
  EXPECT_EQ(asked("::1", {}), (Asked{"::1", true, false, true}));
  EXPECT_EQ(asked("::ffff:127.0.0.1", {}), (Asked{"127.0.0.1", true, false, true}));
  EXPECT_EQ(asked("127.0.0.1", {}, {}, true), (Asked{"127.0.0.1", true, true, true}));
  EXPECT_EQ(asked("192.0.2.7", {}), (Asked{"192.0.2.7", false, false, true}));
  EXPECT_EQ(asked("::ffff:192.0.2.7", {}), (Asked{"192.0.2.7", false, false, true}));
  // A name of the network that was made to point here (DNS rebinding).
  EXPECT_FALSE(asked("127.0.0.1", {{"host", "garden.local"}}).loopback);
  EXPECT_FALSE(asked("127.0.0.1", {{"host", "127.0.0.1.example"}}).loopback);
}

TEST(Asker, a_proxy_nobody_named_is_not_this_machine_and_not_believed) {
  for (const char* header : {"x-forwarded-for", "forwarded", "via", "x-real-ip", "x-forwarded-proto", "x-forwarded-host"})
    EXPECT_EQ(asked("127.0.0.1", {{header, "127.0.0.1"}}), (Asked{"127.0.0.1", false, false, true})) << header;
  EXPECT_EQ(asked("192.0.2.7", {{"x-forwarded-for", "127.0.0.1"}, {"x-forwarded-proto", "https"}}, "192.0.2.1"),
            (Asked{"192.0.2.7", false, false, true}))
      << "from another address than the proxy's";
}

TEST(Asker, the_named_proxy_says_who) {
  const std::string proxy = "192.0.2.1";
  EXPECT_EQ(asked(proxy, {{"x-forwarded-for", "198.51.100.9"}, {"x-forwarded-proto", "https"}}, proxy),
            (Asked{"198.51.100.9", false, true, true}));
  EXPECT_EQ(asked(proxy, {{"x-forwarded-for", "127.0.0.1, 198.51.100.9"}}, proxy), (Asked{"198.51.100.9", false, false, true}))
      << "what stands left of the proxy's own entry is the client's claim";
  EXPECT_FALSE(asked(proxy, {{"x-forwarded-for", "127.0.0.1"}}, proxy).loopback);
  EXPECT_EQ(asked(proxy, {}, proxy), (Asked{proxy, false, false, true}));
  EXPECT_FALSE(asked(proxy, {{"x-forwarded-for", "somebody"}}, proxy).heard);
  EXPECT_FALSE(asked(proxy, {{"x-forwarded-for", "198.51.100.9,"}}, proxy).heard);
  EXPECT_FALSE(asked(proxy, {{"x-forwarded-for", "198.51.100.9"}, {"x-forwarded-proto", "https, http"}}, proxy).heard);
}

TEST(Asker, a_proxy_on_this_machine_makes_nobody_the_lead) {
  EXPECT_FALSE(asked("127.0.0.1", {}, "127.0.0.1").loopback);
  EXPECT_FALSE(asked("127.0.0.1", {{"x-forwarded-for", "127.0.0.1"}}, "127.0.0.1").loopback);
  EXPECT_TRUE(asked("::1", {}, "127.0.0.1").loopback) << "the other loopback address is still the person at the machine";
}

}  // namespace
}  // namespace leafturn::server::transport
