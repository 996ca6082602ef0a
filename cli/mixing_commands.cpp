#include "cli/groups.hpp"
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
  };
}

}  // namespace leafturn::cli
