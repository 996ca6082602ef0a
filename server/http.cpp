#include "server/http.hpp"

namespace leafturn::server {

std::string_view Request::header(const std::string& lower_case_name) const {
  const auto found = headers.find(lower_case_name);
  return found == headers.end() ? std::string_view{} : std::string_view{found->second};
}

const std::string* Request::asked(const std::string& query_name) const {
  const auto found = query.find(query_name);
  return found == query.end() ? nullptr : &found->second;
}

const std::string& Request::part(const std::string& name) const {
  static const std::string none;
  const auto found = captured.find(name);
  return found == captured.end() ? none : found->second;
}

}  // namespace leafturn::server
