#include "server/phone_guide.hpp"

#include <map>
#include <optional>

#include "embedded/phone.hpp"
#include "server/error_json.hpp"

namespace leafturn::server {
namespace {

std::string_view file_of(std::string_view ending) {
  for (const auto& file : embedded::phone())
    if (file.name.ends_with(ending)) return file.bytes;
  return {};
}

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

/// `{{key}}` becomes the fact of that name, or the words of that key.
std::string filled(std::string_view page, const std::map<std::string, std::string>& facts, const words::Style& style) {
  std::string out;
  for (;;) {
    const auto open = page.find("{{");
    out += page.substr(0, open);
    if (open == std::string_view::npos) return out;
    const auto close = page.find("}}", open);
    const std::string key{page.substr(open + 2, close - open - 2)};
    const auto fact = facts.find(key);
    out += escaped(fact != facts.end() ? fact->second : words::say_key(key, style));
    page.remove_prefix(close + 2);
  }
}

/// Four pairs at a time: as much as a person compares at a glance.
std::string in_groups(const std::string& fingerprint) {
  std::string out = fingerprint;
  for (std::size_t i = 11; i < out.size(); i += 12) out[i] = ' ';
  return out;
}

std::string address(const char* scheme, const std::string& host, int port, const char* path) {
  return std::string(scheme) + "://" + host + ":" + std::to_string(port) + path;
}

Response guide(const PhoneFacts& facts, const Request& request) {
  const words::Style style{language_of(request)};
  const bool english = style.language == words::Language::en;
  const std::string groups = in_groups(facts.fingerprint);
  Response response;
  response.type = "text/html; charset=utf-8";
  response.body =
      filled(file_of("guide.html"),
             {{"lang", english ? "en" : "es"},
              {"other_lang", english ? "es" : "en"},
              {"garden", facts.garden},
              {"name", facts.name},
              {"plain_address", address("http", facts.name, facts.plain_port, "/phone")},
              {"figures_address", facts.figures.empty() ? std::string{} : address("http", facts.figures, facts.plain_port, "/phone")},
              {"secure_address", address("https", facts.name, facts.secure_port, "/")},
              {"fingerprint", groups},
              {"code_a", groups.substr(0, 11)},
              {"code_b", groups.size() >= 23 ? groups.substr(12, 11) : std::string{}}},
             style);
  return response;
}

}  // namespace

void add_phone_guide(Router& router, std::string authority_der, std::function<PhoneFacts()> facts) {
  router.add("GET", "/phone", [facts = std::move(facts)](const Request& request) { return guide(facts(), request); });
  router.add("GET", "/phone.css", [](const Request&) {
    Response response{200, "text/css; charset=utf-8", std::string{file_of("guide.css")}, {}};
    response.headers["Cache-Control"] = "no-cache";
    return response;
  });
  router.add("GET", "/authority.crt", [der = std::move(authority_der)](const Request&) {
    Response response{200, "application/x-x509-ca-cert", der, {}};
    response.headers["Content-Disposition"] = "attachment; filename=\"authority.crt\"";
    return response;
  });
}

}  // namespace leafturn::server
