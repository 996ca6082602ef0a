#pragma once
/// Devices asking a router, as a listener would hand their requests over.

#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "app/access.hpp"
#include "app/open_garden.hpp"
#include "server/router.hpp"

namespace leafturn::server {

/// The demo garden behind a router whose clock the test turns.
class AskedGarden {
 public:
  /// Of a fresh folder by this name.
  explicit AskedGarden(const std::string& name);

  struct Device {
    std::string secret{}, token{};
    bool loopback = false, secure = false;
    std::string client = "192.0.2.7";  ///< RFC 5737: an address of nobody
  };
  /// Paired as a new person of this role.
  Device paired(const std::string& role);
  Response ask(const Device& device, const std::string& method, const std::string& path, const std::string& body = {},
               std::map<std::string, std::string> headers = {}) const;

  Instant now;
  std::string folder;
  std::unique_ptr<app::OpenGarden> garden;
  std::unique_ptr<app::Access> access;
  Router router;
  nlohmann::json document;
  std::map<std::string, std::string> reference_of_token;  ///< the person behind a device

 private:
  int people_ = 0;
};

/// The error's code in an answer; empty when it is none.
std::string error_code(const Response& response);
/// The secret an answer's cookie sets.
std::string secret_set(const Response& response);

}  // namespace leafturn::server
