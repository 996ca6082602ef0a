#include "core/spray/start.hpp"

#include <algorithm>

namespace leafturn::spray {
namespace {

constexpr const char* exclusion = "40 CFR 170.405";

// The hour as measured, with what the applicator says of rain.
weather::HourlyReadings measured(Instant at, const garden::AtBed& bed, double rainfast_hours) {
  std::vector<weather::HourlyReading> rows;
  const int ahead = static_cast<int>(rainfast_hours) + 2;
  for (int h = -2; h <= ahead; ++h) {
    weather::HourlyReading row;
    row.at = at + Duration::hours(h);
    if (h == 0) {
      row.wind = bed.wind;
      row.temperature = bed.temperature;
      row.humidity = bed.humidity;
      if (bed.overcast) row.cloud = *bed.overcast ? 1.0 : 0.0;
    }
    if (h < 0 || h == 0)
      row.rain = bed.dry ? std::optional{*bed.dry ? Length{} : Length::millimetres(1.0)} : std::nullopt;
    else if (bed.dry_ahead)
      row.rain = *bed.dry_ahead ? Length{} : Length::millimetres(1.0);
    rows.push_back(row);
  }
  return weather::HourlyReadings::from_readings(std::move(rows)).value_or(weather::HourlyReadings{});
}

LimitFound people_found(std::optional<bool> clear, Length distance) {
  LimitFound out;
  out.limit = Limit::people;
  out.state = !clear ? LimitState::unknown : *clear ? LimitState::pass : LimitState::stop;
  // Coarse droplets let go near the ground ask for no distance: then nobody else is in the bed.
  const bool bed_only = distance <= Length{};
  out.code = !clear   ? (bed_only ? "spray_hours.people_bed_unknown" : "spray_hours.people_unknown")
             : *clear ? (bed_only ? "spray_hours.people_bed_clear" : "spray_hours.people_clear")
                      : (bed_only ? "spray_hours.people_bed_in" : "spray_hours.people_near");
  out.bound = distance;
  out.known = pest::Known::seen;
  out.source = exclusion;
  return out;
}

const LimitFound* first_of(const std::vector<LimitFound>& limits, LimitState state, bool (*which)(const LimitFound&)) {
  for (const LimitFound& found : limits)
    if (found.state == state && which(found)) return &found;
  return nullptr;
}
bool binds(const LimitFound& found) { return found.label || found.limit == Limit::people; }

}  // namespace

const LimitFound* StartFound::not_told() const {
  return first_of(limits, LimitState::unknown, [](const LimitFound&) { return true; });
}
bool StartFound::not_copied(const LimitFound& found) {
  return found.limit == Limit::bees && std::string_view{found.code} == "spray_hours.bees_not_copied_day";
}
const LimitFound* StartFound::forbidden() const { return first_of(limits, LimitState::stop, binds); }
const LimitFound* StartFound::advised_against() const {
  return first_of(limits, LimitState::stop, [](const LimitFound& found) { return !binds(found); });
}

StartFound start_found(Instant at, const garden::AtBed& bed, const weather::Site& site, const SprayLimits& limits, Around around,
                       Length people) {
  around.wind_height = around.nozzle_height;
  around.in_flower = bed.in_flower;
  if (bed.drought) around.drought = bed.drought;
  StartFound out;
  out.people = people;
  const auto told = measured(at, bed, limits.rainfast_hours.value);
  out.limits = hour_found(told, at, sky_of(at, 1, site).front(), limits, around).limits;
  // Without a psychrometer the drying and the dew are judged by eye: no reading of them keeps a sprayer in the shed.
  if (!bed.humidity) std::erase_if(out.limits, [](const LimitFound& f) { return f.limit == Limit::delta_t || f.limit == Limit::leaf_wet; });
  if (!bed.in_flower) {
    LimitFound asked;
    asked.limit = Limit::bees;
    asked.code = "spray_hours.flowers_unknown";
    asked.known = pest::Known::practice;
    asked.source = "common practice, no source";
    std::erase_if(out.limits, [](const LimitFound& f) { return f.limit == Limit::bees; });
    out.limits.push_back(asked);
  }
  out.limits.push_back(people_found(bed.people_clear, people));
  const HourState state = state_of(out.limits);
  out.may = state == HourState::open || state == HourState::care;
  return out;
}

}  // namespace leafturn::spray
