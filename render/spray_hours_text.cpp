#include <algorithm>
#include <map>

#include "render/spray_hours.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string paragraph(const std::string& text, std::size_t indent = 0) { return wrapped(text, page_width, indent) + "\n"; }

// One letter an hour, to be read without colour: # open, ~ with care, . shut, ? not known.
char letter(spray::HourState state) {
  switch (state) {
    case spray::HourState::open:
      return '#';
    case spray::HourState::care:
      return '~';
    case spray::HourState::shut:
      return '.';
    case spray::HourState::unknown:
      break;
  }
  return '?';
}

// A day a line, hours of the wall's clock from 0 to 23; blanks before the first and after the last.
std::string strip(const app::SprayHoursAnswer& answer, const words::Style& style) {
  std::map<Date, std::string> lines;
  for (const auto& hour : answer.found.hours) {
    const CivilTime wall = answer.zone.civil(hour.at);
    auto& line = lines.try_emplace(wall.date, 24, ' ').first->second;
    line[static_cast<std::size_t>(wall.second_of_day / 3600)] = letter(hour.state);
  }
  std::size_t width = 0;
  for (const auto& [date, line] : lines) width = std::max(width, columns(words::say_fact(date, style)));
  std::string out = padded("", width + 2) + "0     6     12    18\n";
  for (const auto& [date, line] : lines) out += padded(words::say_fact(date, style), width + 2) + line + "\n";
  return out + paragraph(words::say_key("spray_hours.strip_key", style));
}

std::vector<Fact> span(const app::SprayHoursAnswer& answer, Instant start, Instant end) {
  return {{"start", answer.zone.civil(start)}, {"end", answer.zone.civil(end)}};
}

std::string windows(const app::SprayHoursAnswer& answer, const words::Style& style) {
  std::string out;
  for (const auto& window : answer.found.windows) {
    auto facts = span(answer, window.start, window.end);
    if (window.chance) facts.push_back({"chance", Share{*window.chance}});
    out += "  " + paragraph(words::say({window.chance ? "spray_hours.window_chance" : "spray_hours.window", std::move(facts)}, style), 2);
  }
  return out;
}

std::string compromise(const app::SprayHoursAnswer& answer, const words::Style& style) {
  if (!answer.found.compromise) return paragraph(words::say_key("spray_hours.nothing", style));
  const auto& best = *answer.found.compromise;
  std::string out = paragraph(words::say({"spray_hours.compromise", span(answer, best.start, best.end)}, style));
  for (const auto& found : best.gives) out += "  " + paragraph(words::say(spray::reason_of(found), style), 2);
  for (const auto& cost : best.costs) out += "  " + paragraph(words::say(cost, style), 2);
  return out;
}

// Hours that each limit closes or warns of, most first.
std::string binding(const app::SprayHoursAnswer& answer, const words::Style& style) {
  std::map<std::string, std::int64_t> hours;
  for (const auto& hour : answer.found.hours)
    for (const auto& found : hour.limits)
      if (found.state != spray::LimitState::pass) ++hours["spray_hours.limit." + std::string(spray::word_for(found.limit))];
  std::vector<std::pair<std::int64_t, std::string>> sorted;
  for (const auto& [key, n] : hours) sorted.emplace_back(-n, key);
  std::sort(sorted.begin(), sorted.end());
  std::string out;
  for (const auto& [n, key] : sorted)
    out += "  " + paragraph(words::say({"spray_hours.binds", {{"limit", Term{key}}, {"n", -n}}}, style), 2);
  return out;
}

}  // namespace

std::string spray_hours_text(const app::SprayHoursAnswer& answer, const words::Style& style) {
  std::string out = paragraph(words::say({"spray_hours.title",
                                          {{"product", answer.card.product},
                                           {"from", answer.zone.civil(answer.from)},
                                           {"hours", std::int64_t{answer.hours}},
                                           {"works", Term{"spray_hours.works." + std::string(spray::word_for(answer.limits.works))}}}},
                                         style)) +
                    "\n" + strip(answer, style) + "\n";
  if (!answer.found.windows.empty())
    out += paragraph(words::say_key("spray_hours.windows", style)) + windows(answer, style);
  else
    out += compromise(answer, style);
  if (const std::string against = binding(answer, style); !against.empty())
    out += "\n" + paragraph(words::say_key("spray_hours.against", style)) + against;
  out += "\n";
  for (const Reason& ask : answer.asks) out += paragraph(words::say(ask, style));
  if (answer.members > 0) out += paragraph(words::say_key("spray_hours.chances." + answer.told_by, style));
  return out + paragraph(words::say_key("spray_hours.never_permission", style));
}

}  // namespace leafturn::render
