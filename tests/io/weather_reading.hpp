#pragma once
/// Weather files read in tests: good ones, and what was noted of them.

#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <string_view>

#include "io/weather_csv.hpp"

namespace leafturn::io {

inline bool has_note(const WeatherContents& file, const char* code) {
  return std::any_of(file.notes.begin(), file.notes.end(), [&](const Reason& r) { return r.code == code; });
}

inline WeatherContents good(std::string_view bytes, std::optional<UnitsChoice> units = {}) {
  auto file = read_weather_csv(bytes, "w.csv", units);
  EXPECT_TRUE(file) << file.error().code << " line " << file.error().where.line << " " << file.error().where.field;
  return file ? *file : WeatherContents{};
}

inline Date day(int y, int m, int d) { return *Date::from_ymd(y, m, d); }

}  // namespace leafturn::io
