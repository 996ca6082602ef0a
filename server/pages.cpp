#include "embedded/web.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

Response page_file(std::string_view name, const Request& request) {
  for (const auto& file : embedded::web()) {
    if (file.name != name) continue;
    Response response;
    response.type = name.ends_with(".js")    ? "text/javascript; charset=utf-8"
                    : name.ends_with(".css") ? "text/css; charset=utf-8"
                                             : "text/html; charset=utf-8";
    response.body = std::string{file.bytes};
    response.headers["Cache-Control"] = "no-cache";
    return response;
  }
  return error_response(404, {"server.no_such_page", {}, {{"path", request.path}}, ErrorKind::not_found}, request);
}

}  // namespace leafturn::server
