#include "core/phenology/winter.hpp"

#include <algorithm>

namespace leafturn::phenology {
namespace {

/// No night is so much colder than both its neighbours: the station slipped. The measure of weather::examine.
constexpr TemperatureSpan slip = TemperatureSpan::kelvin(15.0);

bool believable(const weather::DailySeries& recorded, const weather::Day& day) {
  for (const int beside : {-1, 1}) {
    const weather::Day* other = recorded.find(day.date + Days{beside});
    if (other == nullptr || !other->min || !(*other->min - *day.min > slip)) return true;
  }
  return false;
}

}  // namespace

std::optional<WinterCold> winter_kill(const pest::Dossier& dossier, const weather::DailySeries& recorded, Date day) {
  if (!dossier.winter_kill || recorded.empty()) return std::nullopt;
  const Date from = *Date::from_ymd(day.year() - 1, 11, 1);
  const Date to = std::min(day, *Date::from_ymd(day.year(), 5, 31));
  const weather::Day* coldest = nullptr;
  for (const weather::Day& one : recorded.between(from, to))
    if (one.min && (coldest == nullptr || *one.min < *coldest->min) && believable(recorded, one)) coldest = &one;
  if (coldest == nullptr || *coldest->min >= dossier.winter_kill->value) return std::nullopt;
  return WinterCold{*coldest->min, coldest->date, dossier.winter_kill->value};
}

bool comes_as_migrant(const pest::Dossier& dossier, const weather::Site& site) {
  return dossier.migrant_north_of && site.latitude.degrees() > dossier.migrant_north_of->value.degrees();
}

}  // namespace leafturn::phenology
