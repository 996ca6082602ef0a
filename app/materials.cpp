#include "app/materials.hpp"

#include <algorithm>
#include <cmath>

#include "io/card_toml.hpp"
#include "io/weather_csv.hpp"

namespace leafturn::app {

namespace {

// Hourly files in UTC are cut into days at the site's own midnight: the nearest whole-hour meridian, as the diurnal curve has it.
std::int32_t standard_offset(const garden::Garden& state) {
  if (!state.described) return 0;
  return static_cast<std::int32_t>(std::lround(state.described->longitude.degrees() / 15.0)) * 3600;
}

}  // namespace

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

Result<std::vector<WeatherFile>> weather_of(OpenGarden& garden, const garden::Garden& state) {
  // Files that don't name their units are in the garden's own; that was checked when they were added.
  const bool us = state.described && state.described->units == garden::Units::us;
  const auto own_units = us ? io::UnitsChoice::us : io::UnitsChoice::si;
  std::vector<std::pair<std::string, WeatherFile>> files;
  for (const auto& added : state.weather) {
    auto text = garden.ledger().blob_get(added.what.text);
    if (!text) return fail(text.error());
    io::WeatherReading reading;
    reading.offset_seconds = standard_offset(state);
    auto file = io::read_weather_csv(*text, added.what.name, reading);
    if (!file && file.error().code == "weather.units_needed") {
      reading.units = own_units;
      file = io::read_weather_csv(*text, added.what.name, reading);
    }
    if (!file) return fail(file.error());
    std::erase_if(files, [&](const auto& f) { return f.first == added.what.name; });
    files.emplace_back(added.what.name, WeatherFile{std::move(file->series), file->issued});
  }
  std::vector<WeatherFile> out;
  for (auto& [name, file] : files) out.push_back(std::move(file));
  return out;
}

}  // namespace leafturn::app
