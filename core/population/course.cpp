#include "core/population/course.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/phenology/rate.hpp"

namespace leafturn::population {
namespace {

// What no source gives: common practice or plain guessing.
constexpr double walk_m = 4.0;  // mean way of a nymph on foot
constexpr double washing_rain_mm = 2.5;

}  // namespace

Course::Course(const Life& life, const World& world, std::span<const Future> futures, std::span<const Deed> extra)
    : life_{&life}, world_{&world}, futures_{futures}, deeds_{world.deeds} {
  deeds_.insert(deeds_.end(), extra.begin(), extra.end());
  for (const Deed& deed : extra) {
    if (deed.kind != Deed::Kind::pull) continue;
    if (pulled_.empty()) pulled_.assign(world.beds.size(), world.days);
    pulled_[deed.bed] = std::min(pulled_[deed.bed], deed.at / steps_a_day);
  }
  std::stable_sort(deeds_.begin(), deeds_.end(), [](const Deed& a, const Deed& b) { return a.at < b.at; });
  const std::size_t beds = world.beds.size();
  fly_.resize(beds * beds);
  walk_.resize(beds * beds);
  for (std::size_t a = 0; a < beds; ++a)
    for (std::size_t b = 0; b < beds; ++b) {
      const double dx = world.beds[a].x_m - world.beds[b].x_m;
      const double dy = world.beds[a].y_m - world.beds[b].y_m;
      const double d = std::sqrt(dx * dx + dy * dy);
      fly_[a * beds + b] = num::exp(-d / std::max(1.0, life.distance_m));
      walk_[a * beds + b] = num::exp(-d / walk_m);
    }
  const double usual = phenology::rate_per_day(life.dossier->stages[life.laying].rate, Temperature::celsius(22.0));
  // What the futures have in common is run once.
  const auto same = [&](const Future& a, const Future& b, std::int32_t day) {
    const auto x = a.steps.day(world.first + Days{day});
    const auto y = b.steps.day(world.first + Days{day});
    return std::equal(x.begin(), x.end(), y.begin(), y.end(), [](const Step& p, const Step& q) {
      return std::equal(p.passed.begin(), p.passed.end(), q.passed.begin(), q.passed.end(),
                        [](float m, float n) { return !(m < n || n < m); });
    });
  };
  shared_ = world.days;
  for (const Future& future : futures) {
    std::int32_t day = 0;
    while (day < shared_ && same(future, futures.front(), day)) ++day;
    shared_ = day;
  }
  for (std::size_t f = 0; f < futures.size(); ++f) {
    std::vector<DayRun> days(static_cast<std::size_t>(world.days));
    for (std::int32_t day = f == 0 ? 0 : shared_; day < world.days; ++day) {
      DayRun& one = days[static_cast<std::size_t>(day)];
      one.run = run_of(life, futures[f].steps.day(world.first + Days{day}));
      for (const Pass& pass : one.run.passes) one.aged += pass.aged;
      one.activity = usual > 0.0 ? std::min(1.5F, one.aged / static_cast<float>(usual)) : 1.0F;
    }
    days_.push_back(std::move(days));
  }
  set_landing();
}

// Nearer and better beds with this pest's crop first.
void Course::set_landing() {
  const std::size_t beds = world_->beds.size();
  landing_.assign(static_cast<std::size_t>(world_->days) * beds * beds, 0.0F);
  std::vector<double> wanted(beds);
  for (std::int32_t day = 0; day < world_->days; ++day) {
    for (std::size_t to = 0; to < beds; ++to)
      wanted[to] = covered(to, day) ? 0.0 : static_cast<double>(on(day, to).plants * on(day, to).liking);
    for (std::size_t from = 0; from < beds; ++from) {
      float* shares = landing_.data() + (static_cast<std::size_t>(day) * beds + from) * beds;
      double all = 0.0;
      for (std::size_t to = 0; to < beds; ++to)
        if (to != from) all += fly_weight(from, to) * wanted[to];
      if (!(all > 0.0)) continue;
      for (std::size_t to = 0; to < beds; ++to) {
        if (to == from) continue;
        const float share = static_cast<float>(fly_weight(from, to) * wanted[to]) / static_cast<float>(all);
        shares[to] = share > least_share ? share : 0.0F;
      }
    }
  }
}

const Course::DayRun& Course::day_run(std::size_t block, std::int32_t day) const {
  const std::size_t f = day < shared_ ? 0 : block % days_.size();
  return days_[f][static_cast<std::size_t>(day)];
}

const BedDay& Course::on(std::int32_t day, std::size_t bed) const {
  static constexpr BedDay bare{};
  return !pulled_.empty() && day >= pulled_[bed] ? bare : world_->on(day, bed);
}

const Run& Course::whole_day(std::size_t block, std::int32_t day) const { return day_run(block, day).run; }
float Course::aged(std::size_t block, std::int32_t day) const { return day_run(block, day).aged; }
float Course::activity(std::size_t block, std::int32_t day) const { return day_run(block, day).activity; }

const Deed* Course::cover_of(std::size_t bed, std::int32_t day) const {
  const Deed* now = nullptr;
  for (const Deed& deed : deeds_) {
    if (deed.at >= (day + 1) * steps_a_day) break;
    if (deed.bed != bed) continue;
    if (deed.kind == Deed::Kind::cover) now = &deed;
    if (deed.kind == Deed::Kind::uncover || deed.kind == Deed::Kind::pull) now = nullptr;
  }
  return now;
}

bool Course::covered(std::size_t bed, std::int32_t day) const { return cover_of(bed, day) != nullptr; }

double Course::residue(const Deed& deed, std::int32_t day, std::size_t block) const {
  if (deed.half_life_days <= 0.0) return deed.at / steps_a_day == day ? 1.0 : 0.0;
  const double age = day - static_cast<double>(deed.at) / steps_a_day;
  double left = num::exp(-num::log(2.0) * std::max(0.0, age) / deed.half_life_days);
  const std::vector<float>& rain = future(block).rain_mm;
  for (std::int32_t d = deed.at / steps_a_day + 1; d < day && static_cast<std::size_t>(d) < rain.size(); ++d)
    if (rain[static_cast<std::size_t>(d)] >= static_cast<float>(washing_rain_mm)) left *= 1.0 - deed.wash_off;
  return left;
}

}  // namespace leafturn::population
