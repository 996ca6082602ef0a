#pragma once
/// What the stages of one pest feel in one future, air or soil, and how fast each develops in each hour. Inside core/phenology and
/// core/population.

#include <span>
#include <vector>

#include "core/pest/dossier.hpp"
#include "core/weather/diurnal.hpp"

namespace leafturn::phenology {

/// Keeps a day's rates once they have been asked for: every generation asks for the same hours.
class Felt {
 public:
  /// `air` must outlive it.
  Felt(const pest::Dossier& dossier, const weather::HourlySeries& air);

  /// The soil's temperature; empty where neither a stage nor the biofix feels it.
  const weather::HourlySeries& soil() const { return soil_; }
  /// Rate per day of every stage in that hour; all zero without weather.
  std::span<const double> rates(Date date, std::size_t hour);

 private:
  void compute(Date date, std::vector<double>& day) const;

  const pest::Dossier* dossier_;
  const weather::HourlySeries* air_;
  weather::HourlySeries soil_;
  std::vector<std::vector<double>> days_;  ///< [day of `air`][hour·stages + stage]; empty until asked for
  std::vector<double> nothing_;
};

}  // namespace leafturn::phenology
