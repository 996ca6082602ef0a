#include "cli/groups.hpp"
#include "render/pest.hpp"
#include "render/science.hpp"
#include "render/season.hpp"

namespace leafturn::cli {
namespace {

Result<Answer> degree_days(const Arguments& given, const Context& context) {
  const auto answer = app::degree_days({.weather = given.text("weather"),
                                        .lower = given.text("lower"),
                                        .upper = given.maybe("upper"),
                                        .method = given.maybe("method").value_or("single-sine"),
                                        .cutoff = given.maybe("cutoff"),
                                        .from = given.maybe("from"),
                                        .to = given.maybe("to"),
                                        .unit = given.maybe("unit").value_or("C"),
                                        .units = given.maybe("units"),
                                        .strict = given.has("strict")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::degree_days_json(*answer, context.style) : render::degree_days_text(*answer, context.style),
                remarks_of(answer->notes, given.text("weather"), context)};
}

Result<Answer> development(const Arguments& given, const Context& context) {
  const auto answer = app::development({given.text("pest"), given.text("stage"), given.text("temps"), given.maybe("set")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::development_json(*answer, context.style) : render::development_text(*answer, context.style)};
}

Result<Answer> season(const Arguments& given, const Context& context) {
  const app::SeasonQuestion question{.pest = given.text("pest"),
                                     .weather = given.text("weather"),
                                     .latitude = given.text("lat"),
                                     .longitude = given.text("lon"),
                                     .year = given.maybe("year"),
                                     .at = given.maybe("at"),
                                     .biofix = given.maybe("biofix"),
                                     .units = given.maybe("units"),
                                     .compare = given.has("compare"),
                                     .set = given.maybe("set")};
  if (question.pest == "all") {
    const auto answers = app::seasons(question);
    if (!answers) return fail(answers.error());
    return Answer{context.json ? render::seasons_json(*answers, context.style) : render::seasons_text(*answers, context.style),
                  answers->empty() ? std::vector<std::string>{} : remarks_of(answers->front().notes, question.weather, context)};
  }
  const auto answer = app::season(question);
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::season_json(*answer, context.style) : render::season_text(*answer, context.style),
                remarks_of(answer->notes, question.weather, context)};
}

Result<Answer> hatch(const Arguments& given, const Context& context) {
  const auto answer = app::station_hatch({.what = {given.text("pest"), given.text("found"), given.maybe("stage"), given.maybe("age")},
                                          .weather = given.text("weather"),
                                          .latitude = given.text("lat"),
                                          .longitude = given.text("lon"),
                                          .at = given.maybe("at"),
                                          .units = given.maybe("units")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::hatch_json(*answer, context.style) : render::hatch_text(*answer, context.style),
                remarks_of(answer->notes, given.text("weather"), context)};
}

Result<Answer> sun(const Arguments& given, const Context& context) {
  const auto answer = app::sun({.at = given.text("at"),
                                .latitude = given.text("lat"),
                                .longitude = given.text("lon"),
                                .elevation = given.maybe("elevation"),
                                .pressure = given.maybe("pressure"),
                                .temperature = given.maybe("temp")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::sun_json(*answer) : render::sun_text(*answer, context.style)};
}

Result<Answer> pest(const Arguments& given, const Context& context) {
  const auto dossier = app::find_pest(given.text("pest"));
  if (!dossier) return fail(dossier.error());
  return Answer{context.json ? render::pest_json(**dossier, context.style) : render::pest_text(**dossier, context.style)};
}

}  // namespace

std::vector<Command> science_commands() {
  return {
      {"pest",
       {{.name = "pest", .placeholder = "PEST", .required = true, .positional = true}},
       {"leafturn pest imported-cabbageworm"},
       pest},
      {"season",
       {{.name = "pest", .placeholder = "PEST", .required = true, .positional = true},
        {.name = "weather", .placeholder = "WEATHER", .required = true, .positional = true},
        {.name = "lat", .placeholder = "DEGREES", .required = true},
        {.name = "lon", .placeholder = "DEGREES", .required = true},
        {.name = "year", .placeholder = "YEAR"},
        {.name = "at", .placeholder = "DAY"},
        {.name = "biofix", .placeholder = "DAY"},
        {.name = "compare", .placeholder = ""},
        {.name = "set", .placeholder = "ID"},
        {.name = "units", .placeholder = "F|C|us|si|tenths"}},
       {"leafturn season imported-cabbageworm demo/weather/station.csv --lat 40.0 --lon -95.0 --year 2026"},
       season},
      {"hatch",
       {{.name = "pest", .placeholder = "PEST", .required = true, .positional = true},
        {.name = "weather", .placeholder = "WEATHER", .required = true, .positional = true},
        {.name = "lat", .placeholder = "DEGREES", .required = true},
        {.name = "lon", .placeholder = "DEGREES", .required = true},
        {.name = "found", .placeholder = "DAY", .required = true},
        {.name = "stage", .placeholder = "STAGE"},
        {.name = "age", .placeholder = "fresh|unknown|old"},
        {.name = "at", .placeholder = "DAY"},
        {.name = "units", .placeholder = "F|C|us|si|tenths"}},
       {"leafturn hatch colorado-potato-beetle demo/weather/station.csv --lat 40.0 --lon -95.0 --found 2026-06-08"},
       hatch},
      {"development",
       {{.name = "pest", .placeholder = "PEST", .required = true, .positional = true},
        {.name = "stage", .placeholder = "STAGE", .required = true},
        {.name = "temps", .placeholder = "T,T…", .required = true},
        {.name = "set", .placeholder = "ID"}},
       {"leafturn development imported-cabbageworm --stage egg-adult --temps 15C,20C,77F"},
       development},
      {"degree-days",
       {{.name = "weather", .placeholder = "WEATHER", .required = true, .positional = true},
        {.name = "lower", .placeholder = "T", .required = true},
        {.name = "upper", .placeholder = "T"},
        {.name = "method", .placeholder = "METHOD"},
        {.name = "cutoff", .placeholder = "CUTOFF"},
        {.name = "from", .placeholder = "DAY"},
        {.name = "to", .placeholder = "DAY"},
        {.name = "unit", .placeholder = "C|F"},
        {.name = "units", .placeholder = "F|C|us|si|tenths"},
        {.name = "strict", .placeholder = ""}},
       {"leafturn degree-days demo/weather/station.csv --lower 50F --upper 86F --unit F --from 2026-05-01 --to 2026-05-07"},
       degree_days},
      {"sun",
       {{.name = "at", .placeholder = "TIME", .required = true},
        {.name = "lat", .placeholder = "DEGREES", .required = true},
        {.name = "lon", .placeholder = "DEGREES", .required = true},
        {.name = "elevation", .placeholder = "LENGTH"},
        {.name = "pressure", .placeholder = "PRESSURE"},
        {.name = "temp", .placeholder = "T"}},
       {"leafturn sun --at 2025-06-21T12:00-05:00 --lat 43.0 --lon -87.9"},
       sun},
  };
}

}  // namespace leafturn::cli
