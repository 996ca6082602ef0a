#include "app/weather_check.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

#include "core/weather/humidity.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {

Result<WeatherCheckAnswer> weather_check(const WeatherFileQuestion& question) {
  auto contents = read_weather_file(question);
  if (!contents) return fail(contents.error());
  WeatherCheckAnswer answer{question.path, std::move(*contents), {}};
  answer.quality = weather::examine(answer.contents.series);
  return answer;
}

namespace {

struct AskedDays {
  std::optional<Date> from, to;
};

Result<AskedDays> asked_days(const WeatherShowQuestion& question) {
  AskedDays asked;
  for (const auto& [text, field, day] : {std::tuple{&question.from, "--from", &asked.from}, std::tuple{&question.to, "--to", &asked.to}}) {
    if (!*text) continue;
    const auto read = io::parse_day(**text, field);
    if (!read) return fail(read.error());
    *day = *read;
  }
  return asked;
}

/// The days asked for within [first, last].
Result<std::pair<Date, Date>> clipped(const AskedDays& asked, Date first, Date last, const std::string& path) {
  const Date from = std::max(asked.from.value_or(first), first);
  const Date to = std::min(asked.to.value_or(last), last);
  if (to >= from) return std::pair{from, to};
  return fail(
      "weather.no_day_between", {path, 0, {}},
      {{"from", asked.from.value_or(first).iso()}, {"to", asked.to.value_or(last).iso()}, {"first", first.iso()}, {"last", last.iso()}});
}

ShownHour shown(const weather::HourlyReading& reading) {
  ShownHour hour{reading, {}};
  if (reading.temperature && reading.humidity) hour.delta_t = weather::delta_t(*reading.temperature, *reading.humidity);
  return hour;
}

}  // namespace

Result<WeatherShowAnswer> weather_show(const WeatherShowQuestion& question) {
  const auto asked = asked_days(question);
  if (!asked) return fail(asked.error());
  auto contents = read_weather_file(question.file);
  if (!contents) return fail(contents.error());
  const auto days = clipped(*asked, contents->series.first(), contents->series.last(), question.file.path);
  if (!days) return fail(days.error());
  return WeatherShowAnswer{question.file.path, std::move(*contents), days->first, days->second};
}

Result<WeatherHoursAnswer> weather_hours(const WeatherShowQuestion& question) {
  const auto asked = asked_days(question);
  if (!asked) return fail(asked.error());
  const auto offset = standard_offset(question.file.zone);
  if (!offset) return fail(offset.error());
  auto contents = read_weather_file(question.file);
  if (!contents) return fail(contents.error());
  if (!contents->hourly || contents->hourly->empty()) return fail("weather.no_hours", {question.file.path, 0, {}});
  const Zone clock = Zone::fixed(offset->value_or(0));
  const auto rows = contents->hourly->rows();
  const auto date = [&](const weather::HourlyReading& reading) { return clock.civil(reading.at).date; };
  const auto days = clipped(*asked, date(rows.front()), date(rows.back()), question.file.path);
  if (!days) return fail(days.error());
  std::vector<ShownHour> hours;
  for (const auto& reading : rows)
    if (date(reading) >= days->first && date(reading) <= days->second) hours.push_back(shown(reading));
  return WeatherHoursAnswer{question.file.path, std::move(*contents), clock, days->first, days->second, std::move(hours)};
}

}  // namespace leafturn::app
