#include <cstdio>

#include "tools/emergence-table/table.hpp"

namespace leafturn::emergence {
namespace {

constexpr const char* months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

std::string day_and_month(Date date) { return std::to_string(date.day()) + " " + months[date.month() - 1]; }

/// Of a year without a 29 February.
std::string day_and_month(int day_of_year) { return day_and_month(*Date::from_ymd(2023, 1, 1) + Days{day_of_year - 1}); }

std::string number(double value, int decimals) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::string sum_of(const Event& event) {
  std::string out = number(event.sum, 0) + " °C·d above " + number(event.lower_c, 1) + " °C";
  if (event.cap_c) out += ", cap " + number(*event.cap_c, 1) + " °C";
  out += event.in_soil ? ", soil" : ", air";
  return out + ", from " + std::to_string(event.day) + " " + months[event.month - 1];
}

std::string list_of(const std::vector<int>& years) {
  std::string out;
  for (const int year : years) out += (out.empty() ? "" : ", ") + std::to_string(year);
  return out.empty() ? "none" : out;
}

}  // namespace

std::string report(const Station& station, int first_year, int last_year) {
  std::string out = "| column | event | sum | start | source (known) |\n|---|---|---|---|---|\n";
  for (const Event& e : events()) out += "| `" + e.key + "` | " + e.what + " | " + sum_of(e) + " | " + e.start + " | " + e.source + " |\n";

  out += "\n| column | years | mean | SD, d | earliest | latest | without a date |\n|---|--:|--:|--:|--:|--:|---|\n";
  for (const Event& e : events()) {
    const Summary s = summarise(e, station, first_year, last_year);
    if (s.years.empty()) {
      out += "| `" + e.key + "` | 0 | | | | | " + list_of(s.missing) + " |\n";
      continue;
    }
    out += "| `" + e.key + "` | " + std::to_string(s.years.size()) + " | " + day_and_month(static_cast<int>(s.mean + 0.5)) + " | " +
           number(s.sd, 1) + " | " + day_and_month(s.earliest) + " (" + std::to_string(s.earliest_year) + ") | " + day_and_month(s.latest) +
           " (" + std::to_string(s.latest_year) + ") | " + list_of(s.missing) + " |\n";
  }

  out += "\n| year |";
  for (const Event& e : events()) out += " `" + e.key + "` |";
  out += "\n|---|";
  for (std::size_t i = 0; i < events().size(); ++i) out += "--:|";
  out += "\n";
  for (int year = first_year; year <= last_year; ++year) {
    out += "| " + std::to_string(year) + " |";
    for (const Event& e : events()) {
      const auto date = reached(e, station, year);
      out += " " + (date ? day_and_month(*date) : std::string("–")) + " |";
    }
    out += "\n";
  }
  return out;
}

}  // namespace leafturn::emergence
