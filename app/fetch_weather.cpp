#include "app/fetch_weather.hpp"

#include <filesystem>

#include "fetch/copy.hpp"

namespace leafturn::app {

Result<FetchedWeather> fetch_weather(OpenGarden& garden, const std::string& folder, const FetchTyped& typed, Instant now,
                                     const fetch::Surroundings& surroundings) {
  fetch::Question question;
  auto address = fetch::parse_address(typed.address);
  if (!address) return fail(address.error());
  question.address = std::move(*address);
  question.contact = typed.contact;
  question.ca_file = typed.ca_file;
  const std::string copies = (std::filesystem::path(folder) / "cache" / "weather").string();
  auto copy = fetch::read_copy(copies, question.address);
  if (copy) question.known = copy->validators;

  FetchedWeather fetched;
  fetched.address = question.address.shown();
  auto got = fetch::get(question, surroundings);
  if (!got) {
    if (!copy || !typed.allow_stale || got.error().kind != ErrorKind::cannot) return fail(got.error());
    fetched.stale_since = copy->fetched;
    fetched.trouble = got.error();
  } else if (got->unchanged) {
    fetched.unchanged = true;
    copy->fetched = surroundings.now();
  } else {
    copy = fetch::Copy{got->validators, surroundings.now(), std::move(got->bytes)};
  }

  WeatherTyped weather = typed.weather;
  if (weather.name.empty()) weather.name = question.address.last_part();
  auto added = add_weather(garden, copy->bytes, weather, now);
  if (!added) return fail(added.error());
  fetched.added = std::move(*added);
  if (!got) return fetched;
  if (!got->whole_for_sure) fetched.added.notes.push_back({"fetch.length_unknown", {}});
  // What was asked for is in the ledger; without a copy the next question only costs more.
  if (auto kept = fetch::write_copy(copies, question.address, *copy); !kept)
    fetched.added.notes.push_back({"fetch.copy_not_kept", kept.error().facts});
  return fetched;
}

}  // namespace leafturn::app
