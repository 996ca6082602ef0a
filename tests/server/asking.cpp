#include "tests/server/asking.hpp"

#include <gtest/gtest.h>

#include "app/import_garden.hpp"
#include "server/routes.hpp"
#include "tests/support/data.hpp"

namespace leafturn::server {

using nlohmann::json;

AskedGarden::AskedGarden(const std::string& name)
    : now{*Instant::parse("2027-01-15T12:00:00Z")}, folder{test::fresh_folder(name) + "/garden"} {
  EXPECT_TRUE(app::make_demo(folder, now));
  garden = app::OpenGarden::open(folder).value();
  access = app::Access::open(folder).value();
  router = make_router(*garden, *access, [this] { return now; });
  router.reach({{"garden.local"}, true});
  document = json::parse(ask({.loopback = true}, "GET", "/api/openapi.json").body);
}

AskedGarden::Device AskedGarden::paired(const std::string& role) {
  const auto person = access->add(role + " " + std::to_string(++people_), role, now).value();
  const auto one = access->pair(access->offer(person.id, "", now).value().code, "phone", now).value();
  Device device{one.secret, app::token_of(one.secret)};
  reference_of_token[device.token] = person.id.text();
  return device;
}

Response AskedGarden::ask(const Device& device, const std::string& method, const std::string& path, const std::string& body,
                          std::map<std::string, std::string> headers) const {
  Request request;
  request.method = method;
  request.path = path;
  request.body = body;
  request.client = device.client;
  request.loopback = device.loopback;
  request.secure = device.secure;
  request.headers = {{"host", device.loopback ? "127.0.0.1:8080" : "garden.local:8443"}};
  if (method == "POST") request.headers["content-type"] = "application/json";
  if (!device.secret.empty()) request.headers["cookie"] = (device.secure ? "__Host-leafturn=" : "leafturn=") + device.secret;
  if (!device.token.empty() && method == "POST") request.headers["x-leafturn-token"] = device.token;
  for (auto& [name, value] : headers) request.headers[name] = value;
  return router.handle(request);
}

std::string error_code(const Response& response) {
  const json body = json::parse(response.body, nullptr, false);
  return body.is_object() && body.contains("error") ? body["error"].value("code", "") : "";
}

std::string secret_set(const Response& response) {
  const auto found = response.headers.find("Set-Cookie");
  if (found == response.headers.end()) return {};
  const std::string& cookie = found->second;
  const std::size_t value = cookie.find('=') + 1;
  if (cookie.rfind("leafturn=", 0) != 0 && cookie.rfind("__Host-leafturn=", 0) != 0) return {};
  return cookie.substr(value, cookie.find(';') - value);
}

}  // namespace leafturn::server
