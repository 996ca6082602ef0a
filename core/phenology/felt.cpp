#include "core/phenology/felt.hpp"

#include <algorithm>

#include "core/phenology/rate.hpp"
#include "core/weather/soil.hpp"

namespace leafturn::phenology {

using weather::HourlyDay;
using weather::HourlySeries;

Felt::Felt(const pest::Dossier& dossier, const HourlySeries& air)
    : dossier_{&dossier}, air_{&air}, days_(air.days.size()), nothing_(dossier.stages.size(), 0.0) {
  if (dossier.biofix.in_soil || std::any_of(dossier.stages.begin(), dossier.stages.end(), [](const pest::Stage& s) { return s.in_soil; }))
    soil_ = weather::soil_at_5cm(air);
}

void Felt::compute(Date date, std::vector<double>& day) const {
  const std::size_t stages = dossier_->stages.size();
  day.assign(24 * stages, 0.0);
  const HourlyDay* air = air_->find(date);
  const HourlyDay* soil = soil_.find(date);
  for (std::size_t s = 0; s < stages; ++s) {
    const HourlyDay* felt = dossier_->stages[s].in_soil ? soil : air;
    if (felt == nullptr) continue;
    for (std::size_t hour = 0; hour < 24; ++hour) day[hour * stages + s] = rate_per_day(dossier_->stages[s].rate, (*felt)[hour]);
  }
}

std::span<const double> Felt::rates(Date date, std::size_t hour) {
  const auto index = (date - air_->first).count;
  if (index < 0 || static_cast<std::size_t>(index) >= days_.size()) return nothing_;
  std::vector<double>& day = days_[static_cast<std::size_t>(index)];
  if (day.empty()) compute(date, day);
  const std::size_t stages = dossier_->stages.size();
  return std::span<const double>(day).subspan(hour * stages, stages);
}

}  // namespace leafturn::phenology
