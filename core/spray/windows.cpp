#include "core/spray/windows.hpp"

#include <algorithm>

namespace leafturn::spray {
namespace {

constexpr std::int64_t hour_us = 3'600'000'000;

Instant whole_hour(Instant t) {
  const std::int64_t us = t.unix_microseconds();
  return Instant::from_unix_microseconds(us - ((us % hour_us) + hour_us) % hour_us);
}

std::size_t hours_of(Duration needs) {
  return static_cast<std::size_t>(std::max<std::int64_t>(1, (needs.microseconds + hour_us - 1) / hour_us));
}

// Whether each hour is open in each member.
std::vector<std::vector<bool>> open_in(const HoursRequest& request, Instant from, const std::vector<SkyHour>& sky) {
  std::vector<std::vector<bool>> out;
  for (const auto& member : request.members) {
    std::vector<bool> open(sky.size());
    for (std::size_t h = 0; h < sky.size(); ++h)
      open[h] = hour_found(member, from + Duration::hours(static_cast<std::int64_t>(h)), sky[h], request.limits, request.around).state ==
                HourState::open;
    out.push_back(std::move(open));
  }
  return out;
}

std::optional<double> chance_of(const std::vector<std::vector<bool>>& open, std::size_t from, std::size_t to) {
  if (open.empty()) return std::nullopt;
  const auto good = std::count_if(open.begin(), open.end(), [&](const std::vector<bool>& member) {
    return std::all_of(member.begin() + static_cast<std::ptrdiff_t>(from), member.begin() + static_cast<std::ptrdiff_t>(to),
                       [](bool o) { return o; });
  });
  return static_cast<double>(good) / static_cast<double>(open.size());
}

std::vector<Window> windows_of(const SprayHours& found, std::size_t needed, const std::vector<std::vector<bool>>& open) {
  std::vector<Window> out;
  for (std::size_t begin = 0; begin < found.hours.size();) {
    std::size_t end = begin;
    while (end < found.hours.size() && found.hours[end].state == HourState::open) ++end;
    if (end - begin >= needed)
      out.push_back({found.hours[begin].at, found.hours[end - 1].at + Duration::hours(1), chance_of(open, begin, end)});
    begin = std::max(end, begin + 1);
  }
  return out;
}

int warnings(const HourFound& hour) {
  return static_cast<int>(
      std::count_if(hour.limits.begin(), hour.limits.end(), [](const LimitFound& f) { return f.state == LimitState::warn; }));
}

double number_of(const FactValue& value) {
  if (const auto* n = std::get_if<Number>(&value)) return n->value;
  if (const auto* s = std::get_if<Share>(&value)) return s->value;
  if (const auto* t = std::get_if<Temperature>(&value)) return t->celsius();
  if (const auto* v = std::get_if<Speed>(&value)) return v->metres_per_second();
  if (const auto* l = std::get_if<Length>(&value)) return l->millimetres();
  return 0.0;
}

double past_bound(const LimitFound& f) {
  if (!f.value || !f.bound) return 0.0;
  const double past = number_of(*f.value) - number_of(*f.bound);
  return past < 0.0 ? -past : past;
}

std::vector<LimitFound> what_gives(const SprayHours& found, std::size_t from, std::size_t to) {
  std::vector<LimitFound> out;
  for (std::size_t h = from; h < to; ++h)
    for (const LimitFound& f : found.hours[h].limits) {
      if (f.state != LimitState::warn) continue;
      const auto same = std::find_if(out.begin(), out.end(), [&](const LimitFound& o) { return o.limit == f.limit; });
      if (same == out.end())
        out.push_back(f);
      else if (past_bound(f) > past_bound(*same))
        *same = f;
    }
  return out;
}

// Only what was published is told as a loss; of the rest it is said that nobody measured it.
std::vector<Reason> costs_of(const std::vector<LimitFound>& gives, const SprayLimits& limits) {
  std::vector<Reason> out;
  for (const LimitFound& f : gives) {
    if (f.limit == Limit::rain && limits.wash_off)
      out.push_back({"spray_hours.cost.wash_off", {{"share", Share{limits.wash_off->value}}}});
    else if (f.limit == Limit::rain)
      out.push_back({"spray_hours.cost.rain", {}});
    else if (f.limit == Limit::temperature_least || f.limit == Limit::temperature_most || f.limit == Limit::sun ||
             f.limit == Limit::drought)
      out.push_back({"spray_hours.cost.burn", {}});
    else if (f.limit == Limit::bees)
      out.push_back({"spray_hours.cost.bees", {}});
    else if (f.limit == Limit::inversion || f.limit == Limit::gust)
      out.push_back({"spray_hours.cost.drift", {}});
    else
      out.push_back({"spray_hours.cost.less", {}});
  }
  std::vector<Reason> once;
  for (Reason& r : out)
    if (std::none_of(once.begin(), once.end(), [&](const Reason& o) { return o.code == r.code; })) once.push_back(std::move(r));
  return once;
}

// The run of hours, none shut or unknown, with fewest warnings; the earliest of equals.
std::optional<Compromise> best_of(const SprayHours& found, std::size_t needed, const SprayLimits& limits) {
  std::optional<std::size_t> best;
  int fewest = 0;
  for (std::size_t begin = 0; begin + needed <= found.hours.size(); ++begin) {
    int sum = 0;
    bool possible = true;
    for (std::size_t h = begin; h < begin + needed; ++h) {
      possible = possible && (found.hours[h].state == HourState::open || found.hours[h].state == HourState::care);
      sum += warnings(found.hours[h]);
    }
    if (possible && (!best || sum < fewest)) {
      best = begin;
      fewest = sum;
    }
  }
  if (!best) return std::nullopt;
  Compromise out{
      found.hours[*best].at, found.hours[*best + needed - 1].at + Duration::hours(1), what_gives(found, *best, *best + needed), {}};
  out.costs = costs_of(out.gives, limits);
  return out;
}

}  // namespace

SprayHours spray_hours(const HoursRequest& request) {
  const Instant from = whole_hour(request.from);
  const std::vector<SkyHour> sky = sky_of(from, request.hours, request.site);
  SprayHours out;
  for (std::size_t h = 0; h < sky.size(); ++h)
    out.hours.push_back(
        hour_found(*request.told, from + Duration::hours(static_cast<std::int64_t>(h)), sky[h], request.limits, request.around));
  const auto open = open_in(request, from, sky);
  for (std::size_t h = 0; h < sky.size(); ++h) out.chances.push_back(chance_of(open, h, h + 1));
  const std::size_t needed = hours_of(request.needs);
  out.windows = windows_of(out, needed, open);
  if (out.windows.empty()) out.compromise = best_of(out, needed, request.limits);
  return out;
}

}  // namespace leafturn::spray
