#include "app/materials.hpp"

#include <algorithm>
#include <cmath>

#include "io/card_toml.hpp"

namespace leafturn::app {

namespace {

io::UnitsChoice choice_of(garden::FileUnits units) {
  switch (units) {
    case garden::FileUnits::fahrenheit:
      return io::UnitsChoice::fahrenheit;
    case garden::FileUnits::celsius:
      return io::UnitsChoice::celsius;
    case garden::FileUnits::us:
      return io::UnitsChoice::us;
    case garden::FileUnits::tenths:
      return io::UnitsChoice::tenths;
    case garden::FileUnits::si:
      break;
  }
  return io::UnitsChoice::si;
}

}  // namespace

std::int32_t standard_offset(const garden::Garden& state) {
  if (!state.described) return 0;
  return static_cast<std::int32_t>(std::lround(state.described->longitude.degrees() / 15.0)) * 3600;
}

Result<std::map<Digest, label::Card>> cards_of(OpenGarden& garden, const garden::Garden& state) {
  std::map<Digest, label::Card> cards;
  const auto read = [&](const Digest& digest, const std::string& name) -> Status {
    if (cards.contains(digest)) return {};
    auto text = garden.ledger().blob_get(digest);
    // A ledger put together from elsewhere may lack the text, or hold one an older reader took: such a card is not known, and not known is
    // never clear. It must not silence everything else that keeps people out of a bed.
    if (!text && text.error().code == "ledger.no_such_blob") return {};
    if (!text) return fail(text.error());
    auto card = io::read_card_toml(*text, name);
    if (!card) return {};
    cards.emplace(digest, std::move(*card));
    return {};
  };
  for (const auto& copied : state.cards)
    if (auto done = read(copied.what.text, copied.what.product); !done) return fail(done.error());
  for (const auto& application : state.applications)
    if (application.what.card)
      if (auto done = read(*application.what.card, application.what.product); !done) return fail(done.error());
  return cards;
}

Result<io::WeatherContents> read_added_weather(std::string_view text, const garden::WeatherAdded& added, const garden::Garden& state) {
  io::WeatherReading reading;
  reading.offset_seconds = standard_offset(state);  // files in UTC are cut into days at the site's own midnight
  if (!added.station.empty()) reading.station = added.station;
  if (added.units) reading.units = choice_of(*added.units);
  auto file = io::read_weather(text, added.name, reading);
  if (file || file.error().code != "weather.units_needed") return file;
  const bool us = state.described && state.described->units == garden::Units::us;
  reading.units = us ? io::UnitsChoice::us : io::UnitsChoice::si;
  return io::read_weather(text, added.name, reading);
}

Result<std::vector<WeatherFile>> weather_of(OpenGarden& garden, const garden::Garden& state) {
  std::vector<std::pair<std::string, WeatherFile>> files;
  for (const auto& added : state.weather) {
    auto text = garden.ledger().blob_get(added.what.text);
    if (!text) return fail(text.error());
    auto file = read_added_weather(*text, added.what, state);
    if (!file) return fail(file.error());
    std::erase_if(files, [&](const auto& f) { return f.first == added.what.name; });
    files.emplace_back(added.what.name, WeatherFile{std::move(file->series), file->issued});
  }
  std::vector<WeatherFile> out;
  for (auto& [name, file] : files) out.push_back(std::move(file));
  return out;
}

}  // namespace leafturn::app
