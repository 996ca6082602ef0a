#include "core/phenology/rest.hpp"

#include "core/base/normal.hpp"
#include "core/phenology/parts.hpp"
#include "core/weather/sun.hpp"

namespace leafturn::phenology {

std::optional<RestRule> rest_rule(const pest::Dossier& dossier) {
  if (!dossier.diapause) return std::nullopt;
  std::optional<std::size_t> decided;
  // Whoever lays has felt the day before: a group of adults is decided by its last stage before laying.
  for (std::size_t s = 0; s + 1 < dossier.stages.size(); ++s)
    if (names(dossier.stages[s], dossier.diapause->sensitive_stage)) decided = s;
  const auto rests = first_named(dossier, dossier.diapause->resting_stage);
  if (!decided || !rests) return std::nullopt;
  return RestRule{*decided, *rests};
}

double bound_share(const pest::Dossier& dossier, const weather::Site& site, Date date) {
  if (!dossier.diapause) return 0.0;
  const double today = weather::day_length_hours(site.latitude, date.day_of_year());
  const double tomorrow = weather::day_length_hours(site.latitude, (date + Days{1}).day_of_year());
  if (tomorrow >= today) return 0.0;
  const double short_by = dossier.diapause->critical_hours.value - today;
  if (!(dossier.diapause->slope_hours > 0.0)) return short_by > 0.0 ? 1.0 : 0.0;
  return num::normal_cdf(short_by / dossier.diapause->slope_hours);
}

}  // namespace leafturn::phenology
