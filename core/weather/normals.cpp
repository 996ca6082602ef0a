#include "core/weather/normals.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"

namespace leafturn::weather {
namespace {

constexpr int window = 7;
constexpr int slots = 366;
constexpr double negligible = 0.02;

/// Sums by day of the year, then over the window.
struct Sums {
  std::array<double, slots> value{}, square{};
  std::array<int, slots> count{};

  void add(std::size_t slot, double v) {
    value[slot] += v;
    square[slot] += v * v;
    ++count[slot];
  }
  std::array<Usual, slots> usual() const {
    std::array<Usual, slots> out;
    for (int s = 0; s < slots; ++s) {
      double sum = 0.0, squares = 0.0;
      int n = 0;
      for (int k = -window; k <= window; ++k) {
        const auto at = static_cast<std::size_t>((s + k + slots) % slots);
        sum += value[at];
        squares += square[at];
        n += count[at];
      }
      const double mean = n > 0 ? sum / n : 0.0;
      const double variance = n > 1 ? std::max(0.0, (squares - n * mean * mean) / (n - 1)) : 0.0;
      out[static_cast<std::size_t>(s)] = {Temperature::celsius(mean), TemperatureSpan::kelvin(num::sqrt(variance))};
    }
    return out;
  }
};

bool used(const std::vector<int>& years, int year) { return std::binary_search(years.begin(), years.end(), year); }

/// Slopes of later anomalies against the mean of a spell's, one lead at a time.
template <class Anomaly>
std::array<double, Persistence::longest + 1> slopes(std::span<const Day> days, const std::vector<int>& years, Anomaly anomaly) {
  std::vector<std::optional<double>> a;
  a.reserve(days.size());
  for (const Day& day : days) {
    const auto one = used(years, day.date.year()) ? anomaly(day) : std::nullopt;
    a.push_back(one ? std::optional{one->kelvin()} : std::nullopt);
  }
  std::array<double, Persistence::longest + 1> left{};
  left[0] = 1.0;
  std::array<double, Persistence::longest + 1> products{}, squares{};
  for (std::size_t i = Persistence::spell; i <= a.size(); ++i) {
    double spell = 0.0;
    bool whole = true;
    for (std::size_t k = i - Persistence::spell; k < i; ++k) {
      whole = whole && a[k];
      if (whole) spell += *a[k] / Persistence::spell;
    }
    if (!whole) continue;
    for (std::size_t lead = 1; lead <= Persistence::longest && i + lead - 1 < a.size(); ++lead) {
      if (!a[i + lead - 1]) continue;
      products[lead] += spell * *a[i + lead - 1];
      squares[lead] += spell * spell;
    }
  }
  for (std::size_t lead = 1; lead < left.size(); ++lead) {
    const double slope = squares[lead] > 0.0 ? products[lead] / squares[lead] : 0.0;
    left[lead] = slope < negligible ? 0.0 : std::min(slope, left[lead - 1]);
  }
  return left;
}

}  // namespace

std::size_t Normals::slot(Date d) {
  static constexpr std::array<int, 12> before{0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335};
  return static_cast<std::size_t>(before[static_cast<std::size_t>(d.month() - 1)] + d.day() - 1);
}

std::optional<Normals> Normals::from(const DailySeries& recorded, int before) {
  if (recorded.empty()) return std::nullopt;
  Normals out;
  for (int year = recorded.first().year(); year < before && year <= recorded.last().year(); ++year) {
    const Date first = *Date::from_ymd(year, 1, 1);
    const Date last = *Date::from_ymd(year, 12, 31);
    int complete = 0;
    for (const Day& day : recorded.between(first, last)) complete += day.complete() ? 1 : 0;
    const int missing = (last - first).count + 1 - complete;
    (missing <= most_missing ? out.years_ : out.left_out_).push_back(year);
  }
  if (out.years_.size() < static_cast<std::size_t>(least_years)) return std::nullopt;
  Sums min, max;
  for (const Day& day : recorded.days()) {
    if (!day.complete() || !used(out.years_, day.date.year())) continue;
    min.add(slot(day.date), day.min->celsius());
    max.add(slot(day.date), day.max->celsius());
  }
  out.min_ = min.usual();
  out.max_ = max.usual();
  return out;
}

std::optional<TemperatureSpan> Normals::anomaly_min(const Day& day) const {
  return day.min ? std::optional{*day.min - min_on(day.date).mean} : std::nullopt;
}

std::optional<TemperatureSpan> Normals::anomaly_max(const Day& day) const {
  return day.max ? std::optional{*day.max - max_on(day.date).mean} : std::nullopt;
}

Persistence Persistence::from(const DailySeries& recorded, const Normals& normals) {
  Persistence out;
  out.min_ = slopes(recorded.days(), normals.years(), [&](const Day& day) { return normals.anomaly_min(day); });
  out.max_ = slopes(recorded.days(), normals.years(), [&](const Day& day) { return normals.anomaly_max(day); });
  return out;
}

double Persistence::at(const std::array<double, longest + 1>& left, int lead) {
  return lead < 0 || lead > longest ? 0.0 : left[static_cast<std::size_t>(lead)];
}

}  // namespace leafturn::weather
