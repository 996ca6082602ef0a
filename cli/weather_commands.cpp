#include "cli/groups.hpp"
#include "render/weather.hpp"

namespace leafturn::cli {
namespace {

app::WeatherFileQuestion file_of(const Arguments& given) {
  return {.path = given.text("weather"), .units = given.maybe("units"), .station = given.maybe("station"), .zone = given.maybe("zone")};
}

Result<Answer> check(const Arguments& given, const Context& context) {
  const auto answer = app::weather_check(file_of(given));
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::weather_check_json(*answer, context.style) : render::weather_check_text(*answer, context.style)};
}

Result<Answer> show_hours(const app::WeatherShowQuestion& question, const Context& context) {
  const auto answer = app::weather_hours(question);
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::weather_hours_json(*answer, context.style) : render::weather_hours_text(*answer, context.style),
                remarks_of(answer->contents.notes, question.file.path, context)};
}

Result<Answer> show(const Arguments& given, const Context& context) {
  const app::WeatherShowQuestion question{.file = file_of(given), .from = given.maybe("from"), .to = given.maybe("to")};
  if (given.has("hourly")) return show_hours(question, context);
  const auto answer = app::weather_show(question);
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::weather_show_json(*answer, context.style) : render::weather_show_text(*answer, context.style),
                remarks_of(answer->contents.notes, given.text("weather"), context)};
}

}  // namespace

std::vector<Command> weather_commands() {
  return {
      {"weather check",
       {{.name = "weather", .placeholder = "WEATHER", .required = true, .positional = true},
        {.name = "units", .placeholder = "F|C|us|si|tenths"},
        {.name = "station", .placeholder = "STATION"},
        {.name = "zone", .placeholder = "ZONE"}},
       {"leafturn weather check demo/weather/station.csv"},
       check},
      {"weather show",
       {{.name = "weather", .placeholder = "WEATHER", .required = true, .positional = true},
        {.name = "hourly", .placeholder = ""},
        {.name = "from", .placeholder = "DAY"},
        {.name = "to", .placeholder = "DAY"},
        {.name = "units", .placeholder = "F|C|us|si|tenths"},
        {.name = "station", .placeholder = "STATION"},
        {.name = "zone", .placeholder = "ZONE"}},
       {"leafturn weather show demo/weather/station.csv --from 2026-05-01 --to 2026-05-07"},
       show},
  };
}

}  // namespace leafturn::cli
