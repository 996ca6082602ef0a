#include "cli/groups.hpp"
#include "render/weather_added.hpp"

namespace leafturn::cli {
namespace {

app::WeatherTyped typed_weather(const Arguments& given) {
  return {given.text("name"), given.maybe("units"), given.maybe("station"), given.text("by")};
}

Result<Answer> add(const Arguments& given, const Context& context) {
  const std::string path = given.text("file");
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto added = app::add_weather_file(**garden, path, typed_weather(given), context.now);
  if (!added) return fail(added.error());
  return Answer{context.json ? render::weather_added_json(*added, context.style) : render::weather_added_text(*added, context.style),
                remarks_of(added->notes, path, context)};
}

Result<Answer> fetch(const Arguments& given, const Context& context) {
  const std::string folder = given.text("garden");
  const auto garden = app::OpenGarden::open(folder);
  if (!garden) return fail(garden.error());
  const app::FetchTyped typed{given.text("address"), typed_weather(given), given.text("contact"), given.text("ca"),
                              given.has("allow-stale")};
  const auto fetched = app::fetch_weather(**garden, folder, typed, context.now);
  if (!fetched) return fail(fetched.error());
  auto remarks = remarks_of(fetched->added.notes, fetched->address, context);
  if (fetched->trouble) remarks.push_back(words::say_error(*fetched->trouble, context.style));
  return Answer{
      context.json ? render::weather_fetched_json(*fetched, context.style) : render::weather_fetched_text(*fetched, context.style),
      std::move(remarks)};
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};
constexpr Option name{.name = "name", .placeholder = "NAME"};
constexpr Option units{.name = "units", .placeholder = "F|C|us|si|tenths"};
constexpr Option station{.name = "station", .placeholder = "STATION"};
constexpr Option by{.name = "by", .placeholder = "WHO"};

}  // namespace

std::vector<Command> weather_fetch_commands() {
  return {
      {"weather add",
       {{.name = "file", .placeholder = "FILE", .required = true, .positional = true}, garden, name, units, station, by},
       {"leafturn weather add demo/weather/station.csv --garden my-garden"},
       add},
      {"weather fetch",
       {{.name = "address", .placeholder = "ADDRESS", .required = true, .positional = true},
        garden,
        name,
        units,
        station,
        by,
        {.name = "contact", .placeholder = "WHO"},
        {.name = "ca", .placeholder = "FILE"},
        {.name = "allow-stale", .placeholder = ""}},
       {"leafturn weather fetch https://HOST/station.csv --garden my-garden --contact you@example.org"},
       fetch},
  };
}

}  // namespace leafturn::cli
