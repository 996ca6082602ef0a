#include "core/population/steps.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/phenology/felt.hpp"

namespace leafturn::population {
namespace {

/// The coefficients of one pass, from the substages that each stage passes in it.
class PassWriter {
 public:
  explicit PassWriter(const Life& life) : life_{&life}, rate_(life.substages, 0.0) {}

  Pass write(std::span<const double> passed) {
    for (std::size_t s = 0; s < life_->stages.size(); ++s)
      for (std::size_t i = 0; i < life_->stages[s].count; ++i) rate_[life_->stages[s].first + i] = passed[s];
    Pass pass;
    for (std::size_t s = 0; s < life_->stages.size(); ++s) pass.stages.push_back(stage(s, passed[s]));
    pass.aged = static_cast<float>(passed[life_->laying] / static_cast<double>(life_->stages[life_->laying].count));
    pass.newborn_ahead = life_->substages > 1 ? static_cast<float>(0.5 * rate_[0]) : 0.0F;
    if (life_->rest_decided) leave(pass, *life_->rest_decided);
    return pass;
  }

 private:
  double shrink(std::size_t i) const { return 1.0 / (1.0 + rate_[i] / 3.0); }
  /// From x(i − 1) and x(i − 2) into what x'(i) is solved from.
  double one(std::size_t i) const { return rate_[i - 1] * (2.0 / 3.0 - (rate_[i - 1] + rate_[i]) / 6.0); }
  double two(std::size_t i) const { return rate_[i - 2] * rate_[i - 1] / 6.0; }

  StagePass stage(std::size_t s, double a) const {
    const std::size_t first = life_->stages[s].first;
    const double inside = 1.0 / (1.0 + a / 3.0);
    StagePass out;
    out.stay = static_cast<float>((1.0 - 2.0 * a / 3.0 + a * a / 6.0) * inside);
    out.one = static_cast<float>(a * (2.0 / 3.0 - a / 3.0) * inside);
    out.two = static_cast<float>(a * a / 6.0 * inside);
    out.on = static_cast<float>(a / 3.0 * inside);
    if (first >= 1) {
      out.enter_one = static_cast<float>(one(first) * shrink(first));
      out.enter_on = static_cast<float>(rate_[first - 1] / 3.0 * shrink(first));
      if (life_->stages[s].count > 1) out.second_two = static_cast<float>(two(first + 1) * shrink(first + 1));
    }
    if (first >= 2) out.enter_two = static_cast<float>(two(first) * shrink(first));
    return out;
  }

  void leave(Pass& pass, std::size_t decided) const {
    const std::size_t next = life_->stages[decided].first + life_->stages[decided].count;
    if (next >= life_->substages) return;
    pass.left_one = static_cast<float>(one(next) + (next + 1 < life_->substages ? two(next + 1) : 0.0));
    pass.left_two = next >= 2 ? static_cast<float>(two(next)) : 0.0F;
    pass.left_on = static_cast<float>(rate_[next - 1] / 3.0);
  }

  const Life* life_;
  std::vector<double> rate_;  // [substage]
};

}  // namespace

double most_passed(std::size_t substages) { return std::min(2.0, num::exp(num::log(static_cast<double>(substages) / 3.0) / 3.0)); }

std::span<const Step> StepTable::day(Date d) const {
  const auto index = (d - first).count;
  if (index < 0 || static_cast<std::size_t>(index) >= missing.size()) return {};
  return std::span<const Step>(steps).subspan(static_cast<std::size_t>(index) * steps_a_day, steps_a_day);
}

StepTable steps_of(const Life& life, const weather::HourlySeries& air, Date from, Date to) {
  constexpr std::size_t hours = 24 / steps_a_day;
  StepTable table{from, {}, {}};
  phenology::Felt felt{*life.dossier, air};
  for (Date d = from; d <= to; d = d + Days{1}) {
    table.missing.push_back(air.find(d) == nullptr);
    for (std::size_t step = 0; step < steps_a_day; ++step) {
      Step& out = table.steps.emplace_back();
      for (std::size_t s = 0; s < life.stages.size(); ++s) {
        double rates = 0.0;
        for (std::size_t hour = step * hours; hour < (step + 1) * hours; ++hour) rates += felt.rates(d, hour)[s];
        out.passed.push_back(static_cast<float>(rates / 24.0 * static_cast<double>(life.stages[s].count)));
      }
    }
  }
  return table;
}

Run run_of(const Life& life, std::span<const Step> steps) {
  const std::size_t stages = life.stages.size();
  std::vector<double> most(stages);
  for (std::size_t s = 0; s < stages; ++s) most[s] = most_passed(life.stages[s].count);
  // A step's load is the passes that its fastest stage needs; passes of equal load break steps where they must.
  std::vector<double> load(steps.size(), 0.0);
  double all = 0.0;
  for (std::size_t q = 0; q < steps.size(); ++q) {
    for (std::size_t s = 0; s < stages; ++s) load[q] = std::max(load[q], static_cast<double>(steps[q].passed[s]) / most[s]);
    all += load[q];
  }
  const auto count = static_cast<std::size_t>(std::max(1.0, std::ceil(all)));
  const double share = all / static_cast<double>(count);

  Run run;
  run.days = static_cast<float>(steps.size()) / static_cast<float>(steps_a_day);
  PassWriter writer{life};
  std::vector<double> passed(stages);
  std::size_t q = 0;
  double taken = 0.0;  // of step q, as a share
  for (std::size_t p = 0; p < count; ++p) {
    std::fill(passed.begin(), passed.end(), 0.0);
    double room = share, steps_taken = 0.0;
    while (q < steps.size() && (room > 0.0 || load[q] <= 0.0 || p + 1 == count)) {
      const double rest = load[q] * (1.0 - taken);
      const bool whole = rest <= room || p + 1 == count;
      const double part = whole ? 1.0 - taken : room / load[q];
      for (std::size_t s = 0; s < stages; ++s) passed[s] += part * static_cast<double>(steps[q].passed[s]);
      steps_taken += part;
      if (!whole) {
        taken += part;
        break;
      }
      room -= rest;
      taken = 0.0;
      ++q;
    }
    run.passes.push_back(writer.write(passed));
    run.passes.back().days = static_cast<float>(steps_taken / steps_a_day);
  }
  return run;
}

}  // namespace leafturn::population
