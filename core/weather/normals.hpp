#pragma once
/// What is usual at a station on a day of the year, and how long an unusual spell lasts there.

#include <array>
#include <optional>
#include <vector>

#include "core/weather/daily.hpp"

namespace leafturn::weather {

/// Mean and standard deviation of one extreme on one day of the year.
struct Usual {
  Temperature mean;
  TemperatureSpan sd;
};

/// Built from whole years of a record. Each day of the year takes the days up to 7 away in every year used; 29 February stands between its
/// neighbours.
class Normals {
 public:
  static constexpr int least_years = 3;
  static constexpr int most_missing = 30;  ///< days of a year without both extremes; a year with more is left out

  /// Years of `recorded` before `before` (a year that is not over is never used). Nothing with fewer than `least_years` usable ones.
  static std::optional<Normals> from(const DailySeries& recorded, int before);

  const Usual& min_on(Date d) const { return min_[slot(d)]; }
  const Usual& max_on(Date d) const { return max_[slot(d)]; }
  const std::vector<int>& years() const { return years_; }
  const std::vector<int>& left_out() const { return left_out_; }  ///< years with too many days missing
  /// Day minus usual; nothing where the day lacks an extreme.
  std::optional<TemperatureSpan> anomaly_min(const Day& day) const;
  std::optional<TemperatureSpan> anomaly_max(const Day& day) const;

 private:
  static std::size_t slot(Date d);  ///< 0 … 365, of a leap year
  std::array<Usual, 366> min_, max_;
  std::vector<int> years_, left_out_;
};

/// How much of a spell is left `lead` days after its last day: the slope of the anomaly on that day against the mean anomaly of the three
/// days before lead 1, by least squares over the record; 0 once it has fallen below 0.02, and never above the lead before.
class Persistence {
 public:
  static constexpr int longest = 30;
  static constexpr int spell = 3;
  /// From the years the normals were made of.
  static Persistence from(const DailySeries& recorded, const Normals& normals);
  double min_left(int lead) const { return at(min_, lead); }
  double max_left(int lead) const { return at(max_, lead); }

 private:
  static double at(const std::array<double, longest + 1>& left, int lead);
  std::array<double, longest + 1> min_{}, max_{};
};

}  // namespace leafturn::weather
