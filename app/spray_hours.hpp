#pragma once
/// When a product may be sprayed in the next days, from a weather file and a card, or in a garden.

#include <optional>
#include <string>

#include "app/open_garden.hpp"
#include "app/weather_file.hpp"
#include "core/label/card.hpp"
#include "core/spray/windows.hpp"

namespace leafturn::app {

/// Around the bed, as typed: `yes`, `no` or absent.
struct AroundTyped {
  std::optional<std::string> in_flower, drought, crop, nozzle_height, wind_height, minutes;
};

struct WindowsQuestion {
  WeatherFileQuestion file;
  std::string latitude, longitude;
  std::string card;  ///< path
  std::string from;  ///< a time
  std::string hours = "72";
  AroundTyped around;
};

struct SprayHoursAnswer {
  label::Card card;
  spray::SprayLimits limits;
  spray::Around around;
  spray::SprayHours found;
  Zone zone;
  Instant from;
  int hours = 0;
  std::string told_by;  ///< `forecast`, `record`, `past`: chances come from errors of a forecast, or from the station's own past days
  std::size_t members = 0;
  std::vector<Reason> asks;  ///< what a person must still look at
  std::vector<Reason> notes;
  std::optional<std::string> bed, crop;  ///< in a garden
  garden::Units units = garden::Units::metric;
};

/// Hours after the file's last are told by nobody: unknown. Of a forecast the chances are those of its usual errors (spray::dressed); of a
/// record they are absent. Errors: those of the files, the card, the quantities and times, `weather.no_hours`, `spray_hours.yes_no`,
/// `quantity.whole_number`.
Result<SprayHoursAnswer> windows(const WindowsQuestion& question);

struct SprayHoursQuestion {
  std::string bed, product;
  std::optional<std::string> hours;  ///< 1 … 120; 72
  AroundTyped around;
  std::optional<Instant> at;
};

/// By the latest forecast issued by then over the recorded hours before; where no forecast tells the hours, the chances come from the
/// station's own past days (spray::analogues), and the hours stay unknown. Errors: `garden.no_such_bed`, `treat.no_card`, and those above.
Result<SprayHoursAnswer> garden_spray_hours(OpenGarden& garden, const SprayHoursQuestion& question, Instant now);

}  // namespace leafturn::app
