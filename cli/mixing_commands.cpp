#include "cli/groups.hpp"
#include "render/spray_hours.hpp"
#include "render/spray_work.hpp"

namespace leafturn::cli {
namespace {

Result<Answer> calibrate(const Arguments& given, const Context& context) {
  const auto answer = app::calibrate({.flow = given.maybe("flow"),
                                      .speed = given.maybe("speed"),
                                      .width = given.maybe("width"),
                                      .volume = given.maybe("volume"),
                                      .area = given.maybe("area")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::calibrate_json(*answer) : render::calibrate_text(*answer, context.style)};
}

Result<Answer> mix(const Arguments& given, const Context& context) {
  const auto answer = app::mix({.rate = given.text("rate"),
                                .least = given.maybe("least"),
                                .carrier = given.maybe("carrier"),
                                .area = given.maybe("area"),
                                .volume = given.maybe("volume"),
                                .tank = given.maybe("tank")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::mix_json(*answer, context.style) : render::mix_text(*answer, context.style)};
}

Result<Answer> windows(const Arguments& given, const Context& context) {
  const auto answer =
      app::windows({.file = {.path = given.text("weather"), .units = given.maybe("units"), .station = {}, .zone = given.maybe("zone")},
                    .latitude = given.text("lat"),
                    .longitude = given.text("lon"),
                    .card = given.text("card"),
                    .from = given.text("from"),
                    .hours = given.maybe("hours").value_or("72"),
                    .around = {.in_flower = given.maybe("in-flower"),
                               .drought = given.maybe("drought"),
                               .crop = given.maybe("crop"),
                               .nozzle_height = given.maybe("nozzle-height"),
                               .wind_height = given.maybe("wind-height"),
                               .minutes = given.maybe("minutes")}});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::spray_hours_json(*answer, context.style) : render::spray_hours_text(*answer, context.style),
                remarks_of(answer->notes, given.text("weather"), context)};
}

}  // namespace

std::vector<Command> mixing_commands() {
  constexpr Option area{.name = "area", .placeholder = "A"};
  constexpr Option volume{.name = "volume", .placeholder = "V"};
  return {
      {"calibrate",
       {{.name = "flow", .placeholder = "Q"}, {.name = "speed", .placeholder = "V"}, {.name = "width", .placeholder = "W"}, volume, area},
       {"leafturn calibrate --flow 1.3L/min --speed 7.8km/h --width 0.5m", "leafturn calibrate --volume 40floz --area 340ft2"},
       calibrate},
      {"mix",
       {{.name = "rate", .placeholder = "RATE", .required = true},
        {.name = "least", .placeholder = "RATE"},
        {.name = "carrier", .placeholder = "PER_AREA"},
        area,
        volume,
        {.name = "tank", .placeholder = "V"}},
       {"leafturn mix --rate \"2 qt/acre\" --carrier \"30 gal/acre\" --area 4000ft2 --tank 2gal",
        "leafturn mix --rate \"2 floz/gal\" --volume 1.5gal"},
       mix},
      {"windows",
       {{.name = "weather", .placeholder = "WEATHER", .required = true, .positional = true},
        {.name = "lat", .placeholder = "LAT", .required = true},
        {.name = "lon", .placeholder = "LON", .required = true},
        {.name = "card", .placeholder = "CARD", .required = true},
        {.name = "from", .placeholder = "TIME", .required = true},
        {.name = "hours", .placeholder = "N"},
        {.name = "minutes", .placeholder = "N"},
        {.name = "crop", .placeholder = "EPPO"},
        {.name = "in-flower", .placeholder = "yes|no"},
        {.name = "drought", .placeholder = "yes|no"},
        {.name = "nozzle-height", .placeholder = "H"},
        {.name = "wind-height", .placeholder = "H"},
        {.name = "zone", .placeholder = "ZONE"},
        {.name = "units", .placeholder = "F|C|us|si|tenths"}},
       {"leafturn windows demo/weather/hours.csv --lat 43.07 --lon -89.4 --card demo/cards/demo-oil-one.toml --from 2026-06-11T06:00 "
        "--hours "
        "48 --zone America/Chicago --in-flower no"},
       windows},
  };
}

}  // namespace leafturn::cli
