#include "server/site.hpp"

#include <charconv>

#include "server/error_json.hpp"

namespace leafturn::server {

Result<Instant> read_time(Site& site, const std::string& text, const std::string& field, const std::string& code) {
  if (const auto instant = Instant::parse(text)) return *instant;
  std::optional<CivilTime> civil = CivilTime::parse(text);
  if (!civil) return fail(code, {"", 0, field}, {{"given", text}});
  const auto zone = site.garden.zone();
  if (!zone) return fail(zone.error());
  return zone->instant(*civil);
}

Result<Asked> read_asked(Site& site, const Request& request) {
  Asked asked;
  asked.now = site.clock();
  asked.style.language = language_of(request);
  const std::string_view seen = request.header("x-leafturn-seen");
  (void)std::from_chars(seen.data(), seen.data() + seen.size(), asked.seen);  // unreadable: seen nothing
  if (const auto* lang = request.asked("lang"); lang != nullptr && !words::parse_language(*lang)) {
    return fail("server.lang_unknown", {"", 0, "lang"}, {{"given", *lang}});
  }
  if (const auto* at = request.asked("at")) {
    const auto time = read_time(site, *at, "at", "server.at_unreadable");
    if (!time) return fail(time.error());
    asked.at = *time;
  }
  if (const auto* units = request.asked("units")) {
    if (*units != "metric" && *units != "us") return fail("server.units_unknown", {"", 0, "units"}, {{"given", *units}});
    asked.style.units = *units == "us" ? garden::Units::us : garden::Units::metric;
    return asked;
  }
  const auto time = site.garden.asked_time(asked.at, asked.now);
  if (!time) return fail(time.error());
  const auto garden = site.garden.garden_at(*time);
  if (!garden) return fail(garden.error());
  if (garden->described) asked.style.units = garden->described->units;
  return asked;
}

void stamp(Site& site, Response& response) {
  const auto zone = site.garden.zone();
  const Instant now = site.clock();
  response.headers["X-Leafturn-Now"] = zone ? zone->iso(now) : now.iso_utc();
  response.headers["X-Leafturn-Pages"] = pages_version();
}

}  // namespace leafturn::server
