#pragma once
/// What every handler of this room shares: the garden, the clock, and what a request asked about.

#include <functional>
#include <optional>
#include <string>

#include "app/access.hpp"
#include "app/brief_cache.hpp"
#include "app/calendar.hpp"
#include "app/outlook.hpp"
#include "server/brief_texts.hpp"
#include "server/clock.hpp"
#include "server/http.hpp"
#include "server/library_texts.hpp"
#include "server/limits.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

struct Site {
  app::OpenGarden& garden;
  app::Access& access;
  Clock clock;
  std::function<std::string()> address{};  ///< where phones find this garden, without a slash at the end; empty = nowhere
  Limits limits{};
  app::BriefCache briefs{};
  BriefShelf brief_texts{};
  LibraryTexts library_texts{};
  app::CalendarCache calendars{};
  app::OutlookCache outlooks{};
};

/// The language, the units and the time of a request.
struct Asked {
  words::Style style;
  Instant now;
  std::optional<Instant> at;
  std::uint64_t seen = 0;  ///< `X-Leafturn-Seen`: an entry the asker knows of, at least; no answer may be older
};

/// `?lang=`, `?units=`, `?at=`. Errors: `server.lang_unknown`, `server.units_unknown`, `server.at_unreadable`. Without `units`, the
/// garden's own.
Result<Asked> read_asked(Site& site, const Request& request);

/// `2026-06-13T06:30-05:00`, or a bare time or day of the garden's zone; `field` names it in the error.
Result<Instant> read_time(Site& site, const std::string& text, const std::string& field, const std::string& code);

// The calls, one file each.
Response get_brief(Site& site, const Request& request);
Response get_board(Site& site, const Request& request);
Response get_outlook(Site& site, const Request& request);
Response get_bed(Site& site, const Request& request);
Response get_compare(Site& site, const Request& request);
Response get_pull(Site& site, const Request& request);
Response get_spray_hours(Site& site, const Request& request);
Response get_spray_start(Site& site, const Request& request);
Response get_weather(Site& site, const Request& request);
Response get_garden(Site& site, const Request& request);
Response get_pest(Site& site, const Request& request);
Response get_seasons(Site& site, const Request& request);
Response get_season(Site& site, const Request& request);
Response get_hatch(Site& site, const Request& request);
Response get_words(Site& site, const Request& request);
Response get_health(Site& site, const Request& request);
Response get_healthz(Site& site, const Request& request);
Response get_news(Site& site, const Request& request);
Response get_openapi(Site& site, const Request& request);
Response get_events(Site& site, const Request& request);
Response post_event(Site& site, const Request& request, const app::Who& who);
Response post_may_treat(Site& site, const Request& request);
Response get_cards(Site& site, const Request& request);
Response get_card(Site& site, const Request& request);
Response post_card_check(Site& site, const Request& request);
Response post_card(Site& site, const Request& request, const app::Who& who);
Response get_records(Site& site, const Request& request);
Response get_records_pdf(Site& site, const Request& request);
Response get_records_csv(Site& site, const Request& request);
Response get_log_pdf(Site& site, const Request& request);
Response get_log_csv(Site& site, const Request& request);
Response get_sign_pdf(Site& site, const Request& request);
Response get_worksheet_pdf(Site& site, const Request& request);
Response get_board_pdf(Site& site, const Request& request);
Response get_calendar_pdf(Site& site, const Request& request);
Response get_crew_pdf(Site& site, const Request& request);
Response get_me(Site& site, const Request& request, const app::Who& who);
Response post_pair(Site& site, const Request& request);
Response post_sign_out(Site& site, const Request& request, const app::Who& who);
Response get_people(Site& site, const Request& request);
Response post_people(Site& site, const Request& request);
Response post_person(Site& site, const Request& request);
Response post_erase(Site& site, const Request& request);
Response post_pairing(Site& site, const Request& request);
Response get_sessions(Site& site, const Request& request);
Response post_revoke(Site& site, const Request& request);

/// What every answer tells a phone besides its content: `X-Leafturn-Now`, this server's clock with the garden's offset, to hold the phone's
/// against; `X-Leafturn-Pages`, the version of the pages served, to know older ones by.
void stamp(Site& site, Response& response);

/// The garden as `GET /api/garden` tells it.
Result<std::string> garden_json(Site& site, const Asked& asked);

/// The page that is one file (docs/sync.md).
Response get_counting(Site& site, const Request& request);

/// What web/build.mjs made of the pages' version.
std::string_view pages_version();
/// The bytes of one of the files of web/, built and embedded; empty when there is no such one.
std::string_view page_bytes(std::string_view name);
Response page_file(std::string_view name, const Request& request);

}  // namespace leafturn::server
