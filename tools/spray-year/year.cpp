#include "tools/spray-year/year.hpp"

#include <algorithm>
#include <vector>

namespace leafturn::spray_year {
namespace {

using spray::HourState;
using spray::Limit;
using spray::LimitState;
using spray::Works;

constexpr const char* months[] = {"", "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

void count(MonthOf& month, const spray::HourFound& hour) {
  ++month.hours;
  if (hour.state == HourState::open) ++month.open;
  if (hour.state == HourState::care) ++month.care;
  if (hour.state == HourState::unknown) ++month.unknown;
  std::vector<Limit> against;
  for (const auto& found : hour.limits)
    if (found.state == LimitState::stop || found.state == LimitState::warn) against.push_back(found.limit);
  for (const Limit limit : against) ++month.against[limit];
  if (against.size() == 1) ++month.alone[against.front()];
}

std::string share(int part, int of) { return of == 0 ? "-" : std::to_string((100 * part + of / 2) / of) + " %"; }

const std::pair<const Limit, int>* most_of(const std::map<Limit, int>& hours) {
  const auto most = std::max_element(hours.begin(), hours.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  return most == hours.end() ? nullptr : &*most;
}

std::string named(const std::pair<const Limit, int>* most, int of) {
  return most == nullptr ? "-" : "`" + std::string(spray::word_for(most->first)) + "` " + share(most->second, of);
}

std::string table(const std::map<int, MonthOf>& year) {
  std::string out =
      "| month | hours told | open | with care | days with 2 h open | most often against | most often alone against |\n"
      "|---|---|---|---|---|---|---|\n";
  for (const auto& [month, m] : year) {
    const int told = m.hours - m.unknown;
    out += std::string("| ") + months[month] + " | " + std::to_string(told) + " | " + std::to_string(m.open) + " (" + share(m.open, told) +
           ") | " + std::to_string(m.care) + " | " + std::to_string(m.days_with_two) + " | " + named(most_of(m.against), told) + " | " +
           named(most_of(m.alone), told) + " |\n";
  }
  return out;
}

std::string against_table(const std::map<int, MonthOf>& year) {
  MonthOf all;
  for (const auto& [month, m] : year) {
    all.hours += m.hours - m.unknown;
    for (const auto& [limit, n] : m.against) all.against[limit] += n;
    for (const auto& [limit, n] : m.alone) all.alone[limit] += n;
  }
  std::vector<std::pair<int, Limit>> sorted;
  for (const auto& [limit, n] : all.against) sorted.emplace_back(n, limit);
  std::sort(sorted.rbegin(), sorted.rend());
  std::string out = "| against | hours of the year | alone |\n|---|---|---|\n";
  for (const auto& [n, limit] : sorted)
    out += "| `" + std::string(spray::word_for(limit)) + "` | " + share(n, all.hours) + " | " + share(all.alone[limit], all.hours) + " |\n";
  return out;
}

}  // namespace

std::map<int, MonthOf> year_of(const weather::HourlyReadings& readings, const weather::Site& site, std::int32_t offset_seconds,
                               const spray::SprayLimits& limits) {
  std::map<int, MonthOf> out;
  if (readings.empty()) return out;
  spray::HoursRequest request;
  request.told = &readings;
  request.from = readings.rows().front().at;
  request.hours = static_cast<int>((readings.rows().back().at - request.from).in_hours()) + 1;
  request.site = site;
  request.limits = limits;
  request.around.in_flower = false;
  request.around.drought = false;
  const auto found = spray::spray_hours(request);
  const Zone clock = Zone::fixed(offset_seconds);
  for (const auto& hour : found.hours) count(out[clock.civil(hour.at).date.month()], hour);
  std::map<Date, bool> long_enough;
  for (const auto& window : found.windows)
    if (window.end - window.start >= Duration::hours(2)) long_enough[clock.civil(window.start).date] = true;
  for (const auto& [date, yes] : long_enough) ++out[date.month()].days_with_two;
  return out;
}

std::string report(const weather::HourlyReadings& readings, const weather::Site& site, std::int32_t offset_seconds) {
  std::string out;
  const auto part = [&](const char* title, const spray::SprayLimits& limits) {
    const auto year = year_of(readings, site, offset_seconds, limits);
    out += std::string("### ") + title + "\n\n" + table(year) + "\n" + against_table(year) + "\n";
  };
  part("An oil, or a soap: without a label their bounds are the same", spray::usual_limits(Works::oil, true));
  part("A contact spray whose residue works on", spray::usual_limits(Works::contact));
  return out;
}

}  // namespace leafturn::spray_year
