#include "core/decision/timing.hpp"

#include <algorithm>
#include <utility>

#include "core/decision/context.hpp"
#include "core/phenology/rate.hpp"
#include "core/phenology/winter.hpp"

namespace leafturn::decision {
namespace {

using phenology::DayStand;
using phenology::Season;

constexpr double worth_showing = 0.02;
// Less development than this part of an egg's time in two and a half weeks is no season: common practice, no source.
constexpr double least_progress = 0.2;
constexpr int days_felt = 7;
// Ten times the memory of weather::soil_at_5cm before 1 January.
constexpr int days_before_year = 50;

// Mean over the futures of what `entered` says, added up day by day: the distribution function of entering a stage.
struct EntryCurve {
  Date first;
  std::vector<double> by_day;

  std::optional<Date> when(double share) const {
    for (std::size_t i = 0; i < by_day.size(); ++i)
      if (by_day[i] >= share) return first + Days{static_cast<std::int32_t>(i)};
    return std::nullopt;
  }
  double at(Date d) const {
    const auto i = (d - first).count;
    if (i < 0 || by_day.empty()) return 0.0;
    return by_day[std::min(static_cast<std::size_t>(i), by_day.size() - 1)];
  }
};

double entered_on(const DayStand& day, std::size_t generation, std::size_t stage) {
  return generation < day.entered.size() && stage < day.entered[generation].size() ? day.entered[generation][stage] : 0.0;
}

EntryCurve entry_curve(const std::vector<Season>& seasons, std::size_t generation, std::size_t stage, Date last) {
  EntryCurve curve;
  std::optional<Date> first;
  for (const Season& s : seasons)
    if (!s.days.empty() && (!first || s.days.front().date < *first)) first = s.days.front().date;
  if (!first || *first > last) return curve;
  curve.first = *first;
  curve.by_day.assign(static_cast<std::size_t>((last - *first).count) + 1, 0.0);
  for (const Season& s : seasons)
    for (const DayStand& day : s.days)
      if (day.date <= last) curve.by_day[static_cast<std::size_t>((day.date - *first).count)] += entered_on(day, generation, stage);
  const double each = 1.0 / static_cast<double>(seasons.size());
  double sum = 0.0;
  for (double& value : curve.by_day) {
    sum += value * each;
    value = sum;
  }
  return curve;
}

std::size_t generations_in(const std::vector<Season>& seasons) {
  std::size_t most = 0;
  for (const Season& s : seasons)
    for (const DayStand& day : s.days) most = std::max(most, day.entered.size());
  return most;
}

std::vector<double> present_at(const std::vector<Season>& seasons, std::size_t stages, Date day) {
  std::vector<double> present(stages, 0.0);
  for (const Season& s : seasons)
    for (const DayStand& stand : s.days)
      if (stand.date == day)
        for (const auto& generation : stand.share)
          for (std::size_t i = 0; i < std::min(stages, generation.size()); ++i) present[i] += generation[i];
  double all = 0.0;
  for (const double p : present) all += p;
  if (all > 1e-9)
    for (double& p : present) p /= all;
  return present;
}

// Shares of units alive and not at rest, all generations and stages together, mean over the futures.
double living_at(const std::vector<Season>& seasons, Date day) {
  double sum = 0.0;
  for (const Season& s : seasons)
    for (const DayStand& stand : s.days)
      if (stand.date == day)
        for (const auto& generation : stand.share)
          for (const double share : generation) sum += share / static_cast<double>(seasons.size());
  return sum;
}

// Part of its time an egg passes in a day; where none are laid, of the way from birth to adult.
double first_rate(const pest::Dossier& dossier, Temperature t) {
  double days = 0.0;
  for (const pest::Stage& stage : dossier.stages) {
    if (stage.group != dossier.stages.front().group) break;
    const double rate = phenology::rate_per_day(stage.rate, t);
    if (!(rate > 0.0)) return 0.0;
    days += 1.0 / rate;
  }
  return days > 0.0 ? 1.0 / days : 0.0;
}

// How far an egg laid a week ago would get by the horizon, in parts of its time, mean over the futures.
double progress_around(const pest::Dossier& dossier, const Air& air) {
  double sum = 0.0;
  for (const weather::HourlySeries& member : air.members)
    for (Date d = air.today - Days{days_felt}; d <= air.today + Days{horizon}; d = d + Days{1})
      if (const weather::HourlyDay* day = member.find(d))
        for (const Temperature t : *day) sum += first_rate(dossier, t) / 24.0;
  return sum / static_cast<double>(air.members.size());
}

// The generation that enters the stage most around now; nothing when none does.
std::optional<StageStand> stand_of(const std::vector<Season>& seasons, const pest::Dossier& dossier, std::size_t stage,
                                   std::size_t generations, double present, Date today) {
  const Date last = today + Days{horizon};
  std::optional<StageStand> best;
  double most = worth_showing;
  for (std::size_t g = 0; g < generations; ++g) {
    const EntryCurve curve = entry_curve(seasons, g, stage, last);
    const double near = curve.at(last) - curve.at(today - Days{horizon});
    if (near > most) {
      most = near;
      best = StageStand{dossier.stages[stage].key,
                        present,
                        curve.when(0.05),
                        curve.when(0.5),
                        curve.when(0.95),
                        static_cast<int>(g),
                        curve.at(last) - curve.at(today - Days{1})};
    }
  }
  if (!best && present > worth_showing) best = StageStand{dossier.stages[stage].key, present, {}, {}, {}, 0, 0.0};
  return best;
}

}  // namespace

Air air_of(const WeatherKnown& known, const weather::Site& site, Date today) {
  Air air;
  air.site = site;
  air.today = today;
  // Nothing before this year's winter is felt, and decades need not be made hourly.
  weather::DailySeries recorded;
  if (!known.recorded.empty()) {
    const auto days = known.recorded.between(*Date::from_ymd(today.year(), 1, 1) - Days{days_before_year}, known.recorded.last());
    if (!days.empty()) recorded = *weather::DailySeries::from_days({days.begin(), days.end()});
  }
  if (known.members.empty() && !recorded.empty()) air.members.push_back(weather::hourly(weather::fill_gaps(recorded), site));
  for (const weather::DailySeries& future : known.members)
    air.members.push_back(weather::hourly(weather::fill_gaps(recorded.empty() ? future : recorded.continued_by(future)), site));
  return air;
}

const std::vector<double>& PestTiming::present_on(Date day) const {
  if (past.empty()) return present;
  const auto back = std::max(0, (yesterday - day).count);
  return past[std::min(static_cast<std::size_t>(back), past.size() - 1)];
}

double PestTiming::present_in(const std::vector<std::size_t>& stages) const {
  double sum = 0.0;
  for (const std::size_t s : stages)
    if (s < present.size()) sum += present[s];
  return sum;
}

bool has_host(const BriefRequest& request, const pest::Dossier& dossier, Date today) {
  for (const garden::BedLaid& bed : request.garden->beds)
    for (const garden::Planting* p : request.garden->standing(bed.bed, request.at, today))
      if (preference(dossier, p->sown.crop) > 0) return true;
  return false;
}

std::optional<Date> first_find(const BriefRequest& request, const pest::Dossier& dossier, int year) {
  std::optional<Date> first;
  // A zone is never two days off, so this holds the whole year as its clock has it.
  const auto utc = [](Date day) { return Zone::fixed(0).instant({day, 0}); };
  const Instant from = utc(*Date::from_ymd(year, 1, 1) - Days{2}), to = utc(*Date::from_ymd(year, 12, 31) + Days{2});
  for (const auto& count : garden::within(request.garden->counts, from, to)) {
    if ((count.what.pest != dossier.id && count.what.pest != dossier.eppo) || count.what.count == 0) continue;
    const Date day = request.zone.civil(count.at).date;
    if (day.year() == year && (!first || day < *first)) first = day;
  }
  return first;
}

PestTiming timing(const pest::Dossier& dossier, const Air& air, std::optional<Date> found, std::optional<phenology::WinterCold> cold,
                  int memory) {
  PestTiming out;
  out.dossier = &dossier;
  out.present.assign(dossier.stages.size(), 0.0);
  if (air.members.empty()) {
    out.unknown = Reason{"timing.no_weather", {}};
    return out;
  }
  phenology::SeasonRequest request;
  request.dossier = &dossier;
  request.site = air.site;
  request.year = air.today.year();
  request.last = air.today + Days{horizon};
  request.winter_kill = cold;
  if (cold && !found) {
    out.unknown =
        Reason{"timing.winter_kill",
               {{"pest", Term{"pest." + dossier.id + ".name"}}, {"coldest", cold->coldest}, {"on", cold->on}, {"limit", cold->limit}}};
    return out;
  }
  const auto [seasons, begun] = phenology::local_seasons(request, air.members, found, air.today);
  if (begun == seasons.size()) {
    out.unknown = Reason{seasons.front().biofix.code, seasons.front().biofix.facts};
    out.unknown->facts.push_back({"pest", Term{"pest." + dossier.id + ".name"}});
    out.quiet = progress_around(dossier, air) < least_progress;
    return out;
  }
  out.biofix = seasons[begun].biofix.date;
  out.yesterday = air.today - Days{1};
  for (int back = 0; back <= memory; ++back) out.past.push_back(present_at(seasons, dossier.stages.size(), out.yesterday - Days{back}));
  out.present = out.past.front();
  const std::size_t generations = generations_in(seasons);
  for (std::size_t s = 0; s < dossier.stages.size(); ++s)
    if (auto stand = stand_of(seasons, dossier, s, generations, out.present[s], air.today)) out.stands.push_back(*stand);
  const bool coming = std::any_of(out.stands.begin(), out.stands.end(), [](const StageStand& s) { return s.ahead > worth_showing; });
  out.quiet = progress_around(dossier, air) < least_progress || (!coming && living_at(seasons, out.yesterday) < worth_showing);
  return out;
}

}  // namespace leafturn::decision
