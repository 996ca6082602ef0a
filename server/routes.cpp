#include "server/routes.hpp"

#include <functional>
#include <memory>

#include "server/door.hpp"
#include "server/site.hpp"

namespace leafturn::server {
namespace {

using app::Action;
using ForWho = std::function<Response(Site&, const Request&, const app::Who&)>;
using ForAll = Response (*)(Site&, const Request&);

/// Adds routes behind the door: none can be added without its action.
class Routes {
 public:
  Routes(Router& router, std::shared_ptr<Site> site) : router_{router}, site_{std::move(site)} {}

  void operator()(const char* method, const char* pattern, Action action, ForWho handler) {
    router_.add(method, pattern, [site = site_, action, handler](const Request& request) {
      auto inside = at_door(*site, request, action);
      if (auto* kept_out = std::get_if<Response>(&inside)) return std::move(*kept_out);
      Response response = handler(*site, request, std::get<app::Who>(inside));
      stamp(*site, response);
      return response;
    });
  }
  void operator()(const char* method, const char* pattern, Action action, ForAll handler) {
    (*this)(method, pattern, action, [handler](Site& site, const Request& request, const app::Who&) { return handler(site, request); });
  }

 private:
  Router& router_;
  std::shared_ptr<Site> site_;
};

void add_access(Routes& call) {
  call("GET", "/api/me", Action::paired, get_me);
  call("POST", "/api/sign-out", Action::paired, post_sign_out);
  call("POST", "/api/pair", Action::anyone, post_pair);
  call("GET", "/api/people", Action::manage_people, get_people);
  call("POST", "/api/people", Action::manage_people, post_people);
  call("POST", "/api/people/{person}", Action::manage_people, post_person);
  call("POST", "/api/people/{person}/erase", Action::manage_people, post_erase);
  call("POST", "/api/pairings", Action::manage_people, post_pairing);
  call("GET", "/api/sessions", Action::manage_people, get_sessions);
  call("POST", "/api/sessions/{session}/revoke", Action::manage_people, post_revoke);
}

void add_print(Routes& call) {
  call("GET", "/api/records", Action::see_records, get_records);
  call("GET", "/api/print/records.pdf", Action::see_records, get_records_pdf);
  call("GET", "/api/print/records.csv", Action::see_records, get_records_csv);
  call("GET", "/api/print/log.pdf", Action::see_records, get_log_pdf);
  call("GET", "/api/print/log.csv", Action::see_records, get_log_csv);
  call("GET", "/api/print/board.pdf", Action::see_board, get_board_pdf);
  call("GET", "/api/print/calendar.pdf", Action::see_board, get_calendar_pdf);
  call("GET", "/api/print/crew.pdf", Action::manage_people, get_crew_pdf);
  call("GET", "/api/print/sign.pdf", Action::see_board, get_sign_pdf);
  call("GET", "/api/print/worksheet.pdf", Action::treat, get_worksheet_pdf);
}

Response app_js(Site&, const Request& request) { return page_file("app.js", request); }
Response app_css(Site&, const Request& request) { return page_file("app.css", request); }
Response worker_js(Site&, const Request& request) { return page_file("worker.js", request); }
Response manifest(Site&, const Request& request) { return page_file("manifest.webmanifest", request); }
Response icon_svg(Site&, const Request& request) { return page_file("icon.svg", request); }
Response index_html(Site&, const Request& request) { return page_file("index.html", request); }

/// The pages are one document; its script reads the path.
void add_pages(Routes& call) {
  call("GET", "/app.js", Action::anyone, app_js);
  call("GET", "/app.css", Action::anyone, app_css);
  call("GET", "/worker.js", Action::anyone, worker_js);
  call("GET", "/manifest.webmanifest", Action::anyone, manifest);
  call("GET", "/icon.svg", Action::anyone, icon_svg);
  call("GET", "/pair", Action::anyone, index_html);
  call("GET", "/counting", Action::write, get_counting);
  for (const char* pattern : {"/", "/settings", "/sync"}) call("GET", pattern, Action::paired, index_html);
  call("GET", "/board", Action::see_board, index_html);
  for (const char* pattern :
       {"/beds/{bed}", "/beds/{bed}/pull", "/seasons", "/seasons/{pest}", "/weather", "/outlook", "/outlook/{bed}/{pest}"})
    call("GET", pattern, Action::see_garden, index_html);
  call("GET", "/records", Action::see_records, index_html);
  call("GET", "/write/{what}", Action::write, index_html);
  for (const char* pattern : {"/cards", "/cards/{card}"}) call("GET", pattern, Action::see_garden, index_html);
  call("GET", "/people", Action::manage_people, index_html);
}

}  // namespace

Router make_router(app::OpenGarden& garden, app::Access& access, Clock clock, std::function<std::string()> address) {
  Router router;
  Routes call(router, std::shared_ptr<Site>(new Site{garden, access, std::move(clock), std::move(address)}));
  call("GET", "/api/brief", Action::see_garden, get_brief);
  call("GET", "/api/board", Action::see_board, get_board);
  call("GET", "/api/outlook", Action::see_garden, get_outlook);
  call("GET", "/api/beds/{bed}", Action::see_garden, get_bed);
  call("GET", "/api/beds/{bed}/compare", Action::see_garden, get_compare);
  call("GET", "/api/beds/{bed}/pull", Action::see_garden, get_pull);
  call("GET", "/api/spray-hours", Action::see_garden, get_spray_hours);
  call("GET", "/api/spray-start", Action::treat, get_spray_start);
  call("GET", "/api/weather", Action::see_garden, get_weather);
  call("GET", "/api/garden", Action::see_board, get_garden);
  call("GET", "/api/pests/{pest}", Action::see_garden, get_pest);
  call("GET", "/api/pests/{pest}/hatch", Action::see_garden, get_hatch);
  call("GET", "/api/seasons", Action::see_garden, get_seasons);
  call("GET", "/api/seasons/{pest}", Action::see_garden, get_season);
  call("GET", "/api/words", Action::anyone, get_words);
  call("GET", "/api/health", Action::paired, get_health);
  call("GET", "/healthz", Action::anyone, get_healthz);
  call("GET", "/api/news", Action::paired, get_news);
  call("GET", "/api/openapi.json", Action::paired, get_openapi);
  call("GET", "/api/events", Action::see_garden, get_events);
  call("POST", "/api/events", Action::write, post_event);
  call("POST", "/api/may-treat", Action::treat, post_may_treat);
  call("GET", "/api/cards", Action::see_garden, get_cards);
  call("GET", "/api/cards/{card}", Action::see_garden, get_card);
  call("POST", "/api/cards/check", Action::lay_out, post_card_check);
  call("POST", "/api/cards", Action::lay_out, post_card);
  add_print(call);
  add_access(call);
  add_pages(call);
  return router;
}

}  // namespace leafturn::server
