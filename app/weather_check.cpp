#include "app/weather_check.hpp"

#include <algorithm>
#include <tuple>

#include "io/time_text.hpp"

namespace leafturn::app {

Result<WeatherCheckAnswer> weather_check(const WeatherFileQuestion& question) {
  auto contents = read_weather_file(question);
  if (!contents) return fail(contents.error());
  WeatherCheckAnswer answer{question.path, std::move(*contents), {}};
  answer.quality = weather::examine(answer.contents.series);
  return answer;
}

Result<WeatherShowAnswer> weather_show(const WeatherShowQuestion& question) {
  std::optional<Date> from, to;
  for (const auto& [text, field, day] : {std::tuple{&question.from, "--from", &from}, std::tuple{&question.to, "--to", &to}}) {
    if (!*text) continue;
    const auto read = io::parse_day(**text, field);
    if (!read) return fail(read.error());
    *day = *read;
  }
  auto contents = read_weather_file(question.file);
  if (!contents) return fail(contents.error());
  const auto& series = contents->series;
  const Date first = std::max(from.value_or(series.first()), series.first());
  const Date last = std::min(to.value_or(series.last()), series.last());
  if (last < first)
    return fail("weather.no_day_between", {question.file.path, 0, {}},
                {{"from", from.value_or(series.first()).iso()},
                 {"to", to.value_or(series.last()).iso()},
                 {"first", series.first().iso()},
                 {"last", series.last().iso()}});
  return WeatherShowAnswer{question.file.path, std::move(*contents), first, last};
}

}  // namespace leafturn::app
