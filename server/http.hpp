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
  std::map<std::string, std::string> captured;  ///< parts of the path by the pattern's names: `/api/beds/{bed}`
  std::string client;                           ///< the asker's address, by the proxy's word where one is named; limits count by it
  bool loopback = false;  ///< asked on this machine, under one of its own names, and by no proxy: as good as sitting at it
  bool secure = false;    ///< over TLS, the last stretch to a named proxy aside

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
  bool news = false;  ///< the listener keeps the connection and goes on with news of the ledger (news.hpp)
};

}  // namespace leafturn::server
