#include "server/routes.hpp"

#include <memory>

#include "server/site.hpp"

namespace leafturn::server {

Router make_router(app::OpenGarden& garden, Clock clock) {
  const auto site = std::shared_ptr<Site>(new Site{garden, std::move(clock)});
  Router router;
  const auto call = [&](const char* method, const char* pattern, Response (*handler)(Site&, const Request&)) {
    router.add(method, pattern, [site, handler](const Request& request) { return handler(*site, request); });
  };
  call("GET", "/api/brief", get_brief);
  call("GET", "/api/board", get_board);
  call("GET", "/api/outlook", get_outlook);
  call("GET", "/api/beds/{bed}", get_bed);
  call("GET", "/api/beds/{bed}/compare", get_compare);
  call("GET", "/api/beds/{bed}/pull", get_pull);
  call("GET", "/api/weather", get_weather);
  call("GET", "/api/garden", get_garden);
  call("GET", "/api/pests/{pest}", get_pest);
  call("GET", "/api/pests/{pest}/hatch", get_hatch);
  call("GET", "/api/seasons", get_seasons);
  call("GET", "/api/seasons/{pest}", get_season);
  call("GET", "/api/words", get_words);
  call("GET", "/api/health", get_health);
  call("GET", "/healthz", get_healthz);
  call("GET", "/api/news", get_news);
  call("GET", "/api/openapi.json", get_openapi);
  call("GET", "/api/events", get_events);
  call("POST", "/api/events", post_event);
  call("POST", "/api/may-treat", post_may_treat);

  const auto file = [&](const char* pattern, const char* name) {
    router.add("GET", pattern, [name](const Request& request) { return page_file(name, request); });
  };
  file("/app.js", "app.js");
  file("/app.css", "app.css");
  // The pages are one document; its script reads the path.
  for (const char* pattern : {"/", "/beds/{bed}", "/beds/{bed}/pull", "/board", "/write/{what}", "/settings", "/seasons", "/seasons/{pest}",
                              "/weather", "/outlook", "/outlook/{bed}/{pest}"})
    file(pattern, "index.html");
  return router;
}

}  // namespace leafturn::server
