#pragma once
/// Pieces that season() and hatch() share. Inside core/phenology.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/phenology/chain.hpp"
#include "core/phenology/cohort.hpp"

namespace leafturn::phenology {

/// A stage answers to its key and to its group.
bool names(const pest::Stage& stage, const std::string& word);
std::optional<std::size_t> first_named(const pest::Dossier& dossier, const std::string& word);

/// Substages of every stage.
std::vector<int> chain_lengths(const pest::Dossier& dossier);

/// Days from `start` to `end` without weather.
std::vector<weather::Gap> gaps_between(const weather::HourlySeries& air, Date start, Date end);

/// Notes when a growing share passes each of the five marks.
class Marks {
 public:
  /// From `before` to `after` in a straight line between hours `from` and `to` of `date`.
  void passed(double before, double after, Date date, double from, double to);
  Quantiles quantiles() const { return {times_[0], times_[1], times_[2], times_[3], times_[4]}; }

 private:
  std::size_t next_ = 0;
  std::array<std::optional<CivilTime>, 5> times_;
};

/// The five marks themselves.
inline constexpr std::array<double, 5> marks{0.05, 0.25, 0.50, 0.75, 0.95};

}  // namespace leafturn::phenology
