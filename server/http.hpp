#pragma once
/// A request and an answer as plain values. The HTTP library behind the listener shows in no header of this room.

#include <map>
#include <string>
#include <string_view>

namespace leafturn::server {

struct Request {
  std::string method;                          ///< `GET`, `POST` … upper case
  std::string path;                            ///< decoded, without the query
  std::map<std::string, std::string> query;    ///< decoded; of a name given twice, the first
  std::map<std::string, std::string> headers;  ///< names in lower case
  std::string body;
  bool secure = false;    ///< came over TLS
  std::string client;     ///< the asker's address; limits count by it
  bool loopback = false;  ///< the asker is this computer itself
  std::map<std::string, std::string> captured;  ///< parts of the path by the pattern's names: `/api/beds/{bed}`

  /// Empty when it isn't there.
  std::string_view header(const std::string& lower_case_name) const;
  const std::string* asked(const std::string& query_name) const;
  const std::string& part(const std::string& name) const;
};

struct Response {
  int status = 200;
  std::string type = "application/json; charset=utf-8";
  std::string body;
  std::map<std::string, std::string> headers;
};

}  // namespace leafturn::server
