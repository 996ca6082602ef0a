#include "core/garden/garden.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::garden {

const BedLaid* Garden::bed(std::string_view name) const {
  const auto found = std::find_if(beds.begin(), beds.end(), [&](const BedLaid& b) { return b.bed == name; });
  return found == beds.end() ? nullptr : &*found;
}

const Planting* Garden::planting(std::string_view name) const {
  const auto found = std::find_if(plantings.begin(), plantings.end(), [&](const Planting& p) { return p.sown.planting == name; });
  return found == plantings.end() ? nullptr : &*found;
}

std::vector<const Planting*> Garden::standing(std::string_view bed_name, Instant at, Date today) const {
  std::vector<const Planting*> found;
  for (const Planting& p : plantings) {
    const bool there = p.sown.set_out ? *p.sown.set_out <= today : p.at <= at;
    const bool gone = p.removed && *p.removed <= at;
    if (p.sown.bed == bed_name && there && !gone) found.push_back(&p);
  }
  return found;
}

const Dated<ApplicationJudged>* Garden::judgement_of(const Dated<Application>& application) const {
  if (!application.what.not_judged) return nullptr;
  const Dated<ApplicationJudged>* found = nullptr;
  for (const auto& j : judgements) {
    // An amended application is another one, and asks again.
    if (j.what.application != application.id || j.said <= application.said) continue;
    if (found == nullptr || j.said > found->said) found = &j;
  }
  return found;
}

bool Garden::awaits_judgement(const Dated<Application>& application) const {
  const Application& a = application.what;
  return a.state == Application::State::made && a.not_judged && !a.outside_label && judgement_of(application) == nullptr;
}

bool Garden::outside_label(const Dated<Application>& application) const {
  const Application& a = application.what;
  if (a.state != Application::State::made || a.outside_label) return a.outside_label;
  const auto* judged = judgement_of(application);
  return judged != nullptr && judged->what.verdict == ApplicationJudged::Verdict::outside_label;
}

const Dated<BedReleased>* Garden::release_of(const Dated<Application>& application) const {
  const Dated<BedReleased>* found = nullptr;
  const auto* judged = judgement_of(application);
  const std::uint64_t knows = std::max(application.said, judged == nullptr ? 0 : judged->said);
  for (const auto& r : releases)
    if (r.what.bed == application.what.bed && r.at > application.at && r.said > knows) found = &r;
  return found;
}

Told Garden::told_with(const Application& application) const {
  Told told = application.told;
  if (!application.plan) return told;
  for (const auto& plan : applications) {
    if (plan.id != *application.plan) continue;
    const auto keep = [](auto& said, const auto& before) {
      if (!said) said = before;
    };
    const Told& planned = plan.what.told;
    keep(told.method, planned.method);
    keep(told.handler, planned.handler);
    keep(told.produce, planned.produce);
    keep(told.organic, planned.organic);
    keep(told.enclosed, planned.enclosed);
    keep(told.nearest_person, planned.nearest_person);
    keep(told.release_height, planned.release_height);
    keep(told.droplets, planned.droplets);
    keep(told.water, planned.water);
  }
  return told;
}

const Dated<SprayBegun>* Garden::begun_of(const Id& plan, Instant by) const {
  const Dated<SprayBegun>* latest = nullptr;
  for (const auto& b : begun)
    if (b.what.plan == plan && b.at <= by) latest = &b;
  return latest;
}

const Dated<AgencyAnswered>* Garden::agency_answer(std::string_view product, Instant by) const {
  const Dated<AgencyAnswered>* latest = nullptr;
  for (const auto& a : agency_answers) {
    if (a.what.product != product || a.at > by) continue;
    const bool later = latest == nullptr || a.what.on > latest->what.on;
    // Of two answers of one day the refusal holds.
    if (later || (a.what.on == latest->what.on && !a.what.allows)) latest = &a;
  }
  return latest;
}

const Dated<Application>* Garden::locked_by(std::string_view bed_name) const {
  const Dated<Application>* lock = nullptr;
  for (const auto& a : applications)
    if (a.what.bed == bed_name && a.what.state == Application::State::made && outside_label(a) && release_of(a) == nullptr) lock = &a;
  return lock;
}

Date solar_day(const Garden& garden, Instant at) {
  constexpr double hour_us = 3.6e9;
  constexpr double day_us = 24.0 * hour_us;
  const double ahead_us = garden.described ? garden.described->longitude.degrees() / 15.0 * hour_us : 0.0;
  const double days = std::floor((static_cast<double>(at.unix_microseconds()) + ahead_us) / day_us);
  return Date::from_serial(static_cast<std::int32_t>(days));
}

}  // namespace leafturn::garden
