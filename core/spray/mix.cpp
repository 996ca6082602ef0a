#include "core/spray/mix.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::spray {
namespace {

using Basis = label::ProductRate::Basis;

constexpr std::size_t most_loads = 200;
constexpr double of_least = 0.9;

bool per_area(Basis basis) { return basis == Basis::volume_per_area || basis == Basis::mass_per_area; }
bool is_weighed(Basis basis) { return basis == Basis::mass_per_area || basis == Basis::mass_per_volume; }

Fact dose_fact(const char* name, double dose, bool weighs) {
  if (weighs) return {name, Number{dose, 2}};
  return {name, Number{dose * 1e3, 2}};
}

struct Job {
  Volume finished;
  double wanted = 0.0;
  double least = 0.0;  ///< the same by the label's least
};

Result<Job> job_of(const MixRequest& r) {
  Job job;
  if (r.volume) {
    job.finished = *r.volume;
  } else if (r.carrier && r.area) {
    job.finished = r.carrier->on(*r.area);
  } else if (per_area(r.rate.basis)) {
    return fail(r.area ? "spray.mix_needs_carrier" : "spray.mix_needs_area", {}, {{"rate", r.rate.as_given}}, ErrorKind::bad_input);
  } else {
    return fail("spray.mix_needs_volume", {}, {{"rate", r.rate.as_given}}, ErrorKind::bad_input);
  }
  double extent = job.finished.litres();
  if (per_area(r.rate.basis)) {
    // A volume alone says how much ground it covers only when the sprayer is calibrated.
    if (!r.area && !r.carrier) return fail("spray.mix_needs_area", {}, {{"rate", r.rate.as_given}}, ErrorKind::bad_input);
    extent = r.area ? r.area->square_metres() : covered(job.finished, *r.carrier).square_metres();
  }
  job.wanted = r.rate.value * extent;
  job.least = r.least && r.least->basis == r.rate.basis ? r.least->value * extent : 0.0;
  const auto usable = [](double x) { return std::isfinite(x) && x > 0.0; };
  if (!usable(job.finished.litres()) || !usable(job.wanted)) return fail("spray.mix_nothing", {}, {}, ErrorKind::bad_input);
  if (!is_weighed(r.rate.basis) && job.wanted > job.finished.litres())
    return fail("spray.mix_more_product_than_spray", {}, {{"rate", r.rate.as_given}}, ErrorKind::bad_input);
  return job;
}

/// One load, or nothing where no measure gives it.
std::optional<Load> load_of(const MixRequest& r, const Job& job, Volume finished) {
  const bool weighs = is_weighed(r.rate.basis);
  const double share = finished / job.finished;
  Load load;
  load.finished = finished;
  load.wanted = job.wanted * share;
  for (const bool us : {false, true}) {
    if (weighs && us) continue;
    const auto reading = measure_out(load.wanted, weighs, us, r.measures);
    if (!reading || reading->measured < of_least * job.least * share) continue;
    load.readings.push_back(*reading);
    load.product = std::max(load.product, reading->measured);
  }
  if (load.readings.empty()) return std::nullopt;
  load.water = weighs ? finished : finished - Volume::litres(load.product);
  return load;
}

}  // namespace

Result<Mixed> mix(const MixRequest& r) {
  const auto job = job_of(r);
  if (!job) return fail(job.error());
  Mixed out;
  out.weighs = is_weighed(r.rate.basis);
  out.wanted = job->wanted;
  out.finished = job->finished;
  const Volume tank = r.tank && r.tank->litres() > 0.0 ? std::min(*r.tank, job->finished) : job->finished;
  const double fillings = std::ceil(job->finished / tank * (1.0 - 1e-12));
  if (!(fillings <= static_cast<double>(most_loads)))
    return fail("spray.mix_too_many_loads", {}, {{"loads", Number{fillings, 0}}, {"most", std::int64_t{most_loads}}}, ErrorKind::bad_input);
  const auto loads = static_cast<std::size_t>(std::max(1.0, fillings));

  const auto fill = [&](bool alike) {
    std::vector<Load> made;
    for (std::size_t i = 0; i < loads; ++i) {
      const Volume left = job->finished - static_cast<double>(i) * tank;
      const auto load = load_of(r, *job, alike ? job->finished / static_cast<double>(loads) : std::min(tank, left));
      if (!load) return std::vector<Load>{};
      made.push_back(*load);
    }
    return made;
  };
  out.loads = fill(false);
  if (out.loads.empty()) out.loads = fill(true);
  if (out.loads.empty()) {
    const double dose = job->wanted / static_cast<double>(loads);
    const double least = least_measurable(out.weighs, r.measures);
    if (dose < least)
      return fail("spray.dose_too_small", {},
                  {dose_fact("dose", dose, out.weighs),
                   dose_fact("least", least, out.weighs),
                   {"unit", std::string(out.weighs ? "g" : "mL")},
                   {"times", Number{std::ceil(least / dose), 0}}},
                  ErrorKind::bad_input);
    return fail("spray.least_not_reached", {}, {dose_fact("dose", dose, out.weighs), {"unit", std::string(out.weighs ? "g" : "mL")}},
                ErrorKind::bad_input);
  }
  for (const Load& load : out.loads) out.water += load.water;
  return out;
}

}  // namespace leafturn::spray
