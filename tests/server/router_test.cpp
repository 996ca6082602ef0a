// Routes, the guard in front of them, and the shape of every error.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "server/guard.hpp"
#include "server/router.hpp"

namespace leafturn::server {
namespace {

using nlohmann::json;

Request ask(const std::string& method, const std::string& path) {
  Request request;
  request.method = method;
  request.path = path;
  request.loopback = true;
  request.headers = {{"host", "127.0.0.1:8080"}};
  if (method == "POST") request.headers["content-type"] = "application/json";
  return request;
}

Router small() {
  Router router;
  router.add("GET", "/beds/{bed}", [](const Request& request) { return Response{200, "text/plain", request.part("bed"), {}}; });
  router.add("POST", "/events", [](const Request&) { return Response{201, "text/plain", "", {}}; });
  router.add("GET", "/breaks", [](const Request&) -> Response { throw std::runtime_error("out of paper"); });
  return router;
}

void expect_error(const Response& response, int status, const std::string& code) {
  EXPECT_EQ(response.status, status);
  const json body = json::parse(response.body);
  const json& error = body.at("error");
  EXPECT_EQ(error.at("code"), code);
  for (const char* field : {"text", "what", "do"}) {
    EXPECT_FALSE(error.at(field).get<std::string>().empty()) << field;
    EXPECT_EQ(error.at(field).get<std::string>().find("⟦"), std::string::npos) << error.at(field);
  }
  EXPECT_TRUE(error.at("where").is_object());
  EXPECT_TRUE(error.at("facts").is_object());
}

TEST(Router, matches_whole_parts_only) {
  std::map<std::string, std::string> parts;
  EXPECT_TRUE(match("/beds/{bed}", "/beds/7", parts));
  EXPECT_EQ(parts["bed"], "7");
  EXPECT_TRUE(match("/", "/", parts));
  for (const char* path : {"/beds", "/beds/", "/beds/7/", "/beds/7/8", "/bed/7", "beds/7", ""})
    EXPECT_FALSE(match("/beds/{bed}", path, parts)) << path;
}

TEST(Router, hands_over_the_parts_of_the_path) {
  const auto response = small().handle(ask("GET", "/beds/7 north"));
  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(response.body, "7 north");
}

TEST(Router, says_what_it_does_not_have) {
  expect_error(small().handle(ask("GET", "/nothing")), 404, "server.no_such_page");
  const auto wrong = small().handle(ask("DELETE", "/events"));
  expect_error(wrong, 405, "server.method_not_allowed");
  EXPECT_EQ(wrong.headers.at("Allow"), "POST");
  expect_error(small().handle(ask("GET", "/breaks")), 500, "server.broken");
}

TEST(Router, an_error_speaks_the_readers_language_and_survives_any_bytes) {
  auto request = ask("GET", "/nad\xff\"a");
  request.headers["accept-language"] = "fr-CA, es-MX;q=0.8, en";
  const auto response = small().handle(request);
  expect_error(response, 404, "server.no_such_page");
  EXPECT_NE(response.body.find("no hay nada"), std::string::npos) << response.body;
}

TEST(Router, head_is_answered_as_get) { EXPECT_EQ(small().handle(ask("HEAD", "/beds/7")).status, 200); }

TEST(Guard, every_answer_carries_the_policy) {
  for (const char* path : {"/beds/7", "/nothing", "/breaks"}) {
    const auto response = small().handle(ask("GET", path));
    const auto policy = response.headers.at("Content-Security-Policy");
    EXPECT_NE(policy.find("default-src 'none'"), std::string::npos);
    EXPECT_EQ(policy.find("unsafe"), std::string::npos);
    EXPECT_EQ(response.headers.at("X-Content-Type-Options"), "nosniff");
    EXPECT_EQ(response.headers.at("Referrer-Policy"), "no-referrer");
    EXPECT_EQ(response.headers.at("Cache-Control"), "no-store");
  }
}

TEST(Guard, answers_only_to_a_loopback_name) {
  for (const char* host : {"127.0.0.1", "127.0.0.1:8080", "localhost:1", "LocalHost", "[::1]:8080"}) {
    auto request = ask("GET", "/beds/7");
    request.headers["host"] = host;
    EXPECT_EQ(small().handle(request).status, 200) << host;
  }
  for (const char* host :
       {"", "garden.example", "127.0.0.1.garden.example", "localhost.garden.example:80", "127.0.0.1:80@garden.example", "localhost:"}) {
    auto request = ask("GET", "/beds/7");
    request.headers["host"] = host;
    expect_error(small().handle(request), 403, "server.host_not_local");
  }
}

TEST(Guard, a_loopback_name_from_elsewhere_is_no_key) {
  auto request = ask("GET", "/beds/7");
  request.loopback = false;
  expect_error(small().handle(request), 403, "server.host_not_local");
}

TEST(Guard, off_this_machine_it_answers_to_its_own_names_over_tls) {
  Router router = small();
  for (const char* path : {"/pair", "/phone", "/authority.crt", "/healthz", "/app.js"})
    router.add("GET", path, [](const Request&) { return Response{200, "text/plain", "", {}}; });
  router.add("POST", "/api/pair", [](const Request&) { return Response{200, "text/plain", "", {}}; });
  const auto from_a_phone = [&](const char* method, const char* path, bool secure, const char* host = "garden.local:8443") {
    auto request = ask(method, path);
    request.headers["host"] = host;
    request.loopback = false;
    request.secure = secure;
    return router.handle(request);
  };
  // Nobody may, under any name, before the server was told its names.
  expect_error(from_a_phone("GET", "/pair", true), 403, "server.host_not_local");
  router.reach({{"garden.local"}, false});
  for (const char* path : {"/pair", "/phone", "/authority.crt", "/healthz", "/app.js"}) {
    EXPECT_EQ(from_a_phone("GET", path, true).status, 200) << path;
    EXPECT_EQ(from_a_phone("GET", path, true, "192.0.2.7:8443").status, 200) << path << ": an address can't be made to point elsewhere";
    expect_error(from_a_phone("GET", path, true, "garden.local.example"), 403, "server.host_not_local");
    expect_error(from_a_phone("GET", path, true, "127.0.0.1"), 403, "server.host_not_local");
  }
  EXPECT_EQ(from_a_phone("POST", "/api/pair", true).status, 200);
  // Plain http: only how to get to https, unless the garden says otherwise.
  EXPECT_EQ(from_a_phone("GET", "/phone", false).status, 200);
  for (const char* path : {"/pair", "/app.js", "/beds/7"}) expect_error(from_a_phone("GET", path, false), 403, "server.https_needed");
  router.reach({{"garden.local"}, true});
  EXPECT_EQ(from_a_phone("GET", "/pair", false).status, 200);
  EXPECT_EQ(from_a_phone("GET", "/beds/7", false).status, 200) << "whether this device may is the door's question";
}

TEST(Guard, an_address_in_figures) {
  for (const char* host : {"192.0.2.7", "192.0.2.7:8443", "[2001:db8::1]", "[2001:DB8::1]:80"}) EXPECT_TRUE(is_address(host)) << host;
  for (const char* host :
       {"", ":", "a.b", "192.0.2.7.example", "192.0.2.7:", "192.0.2.7:80x", "[2001:db8::1", "[]", "[2001:db8::1]x", "2001:db8::1", "beef"})
    EXPECT_FALSE(is_address(host)) << host;
}

TEST(Guard, the_origin_has_the_scheme_of_the_connection) {
  Router router = small();
  auto request = ask("POST", "/events");
  request.secure = true;
  request.headers["origin"] = "http://127.0.0.1:8080";
  expect_error(router.handle(request), 403, "server.origin_foreign");
  request.headers["origin"] = "https://127.0.0.1:8080";
  EXPECT_EQ(router.handle(request).status, 201);
}

TEST(Guard, takes_a_post_from_its_own_pages_or_a_program_only) {
  auto request = ask("POST", "/events");
  EXPECT_EQ(small().handle(request).status, 201);
  request.headers["origin"] = "http://127.0.0.1:8080";
  EXPECT_EQ(small().handle(request).status, 201);
  for (const char* origin :
       {"null", "http://garden.example", "http://127.0.0.1:9", "https://127.0.0.1:8080", "http://127.0.0.1:8080.example"}) {
    request.headers["origin"] = origin;
    expect_error(small().handle(request), 403, "server.origin_foreign");
  }
}

TEST(Guard, takes_a_post_as_json_only) {
  auto request = ask("POST", "/events");
  request.headers["content-type"] = "Application/JSON ; charset=utf-8";
  EXPECT_EQ(small().handle(request).status, 201);
  for (const char* type : {"", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "application/jsonp", " ; "}) {
    request.headers["content-type"] = type;
    expect_error(small().handle(request), 415, "server.not_json_type");
  }
}

}  // namespace
}  // namespace leafturn::server
