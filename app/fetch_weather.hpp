#pragma once
/// A weather file from an address the user gives, into a garden. The program knows no address of its own.

#include <optional>
#include <string>

#include "app/add_weather.hpp"
#include "fetch/get.hpp"

namespace leafturn::app {

/// As typed.
struct FetchTyped {
  std::string address;
  WeatherTyped weather;      ///< without a name, the last part of the address's path
  std::string contact;       ///< for the User-Agent; may be empty
  std::string ca_file;       ///< certificates to trust instead of the system's; may be empty
  bool allow_stale = false;  ///< when the address can't be reached, take the copy of last time
};

struct FetchedWeather {
  std::string address;  ///< as it may be shown
  AddedWeather added;
  bool unchanged = false;              ///< the server said that the copy at hand is still right
  std::optional<Instant> stale_since;  ///< the copy was taken instead: when the server last said that it is right
  std::optional<Error> trouble;        ///< why
};

/// Fetch and add. The copy is kept in the garden's folder under cache/weather, and only of a file that could be added. Errors:
/// fetch::parse_address's, fetch::get's, add_weather's. `folder`: of `garden`.
Result<FetchedWeather> fetch_weather(OpenGarden& garden, const std::string& folder, const FetchTyped& typed, Instant now,
                                     const fetch::Surroundings& surroundings = fetch::real_surroundings());

}  // namespace leafturn::app
