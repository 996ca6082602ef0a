#include "render/outlook_says.hpp"

#include <cmath>

#include "app/outlook_order.hpp"
#include "core/decision/context.hpp"

namespace leafturn::render {
namespace {

constexpr double worth_saying = 0.05;

// What there is to say of the threshold.
Reason rest_of(const app::OutlookAnswer& answer, const app::PestInBed& pest) {
  if (pest.threshold == nullptr) return {"outlook.line.no_threshold", {}};
  const auto pass = app::passing(pest);
  if (!pass) return {"outlook.line.share_of_plants", {}};
  const auto threshold = decision::as_published(pest.threshold->value.value);
  if (pass->likely && pass->on == answer.day) return {"outlook.line.past", {{"threshold", threshold}, {"share", Share{pass->chance}}}};
  if (!pass->likely && pass->chance < worth_saying)
    return {"outlook.line.unlikely", {{"threshold", threshold}, {"days", std::int64_t{answer.days}}}};
  return {pass->likely ? "outlook.line.likely" : "outlook.line.perhaps",
          {{"threshold", threshold}, {"on", pass->on}, {"share", Share{pass->chance}}}};
}

}  // namespace

Number about(double density) {
  if (density < 0.005) return {0.0, 0};
  if (density < 99.5) return decision::per_plant(density);
  const double unit = std::pow(10.0, std::floor(std::log10(density)) - 1.0);
  return {std::round(density / unit) * unit, 0};
}

Line outlook_line(const app::OutlookAnswer& answer, const app::OutlookBed& bed, const app::PestInBed& pest, const words::Style& style) {
  const Term crop{"crop." + bed.crop.value_or(pest.crop)};
  const Term name = decision::pest_term(*answer.pests[pest.pest].dossier);
  const auto& today = pest.days.front().counted;
  if (!today) return {"outlook.line.gone", words::say({"outlook.line.gone", {{"bed", bed.bed}, {"crop", crop}, {"pest", name}}}, style)};
  const std::string first = words::say({pest.counts > 0 ? "outlook.line.now" : "outlook.line.now_uncounted",
                                        {{"bed", bed.bed},
                                         {"crop", crop},
                                         {"pest", name},
                                         {"mean", about(today->p50)},
                                         {"low", about(today->p05)},
                                         {"high", about(today->p95)},
                                         {"stage", Term{"stage." + pest.target.word}}}},
                                       style);
  const Reason rest = rest_of(answer, pest);
  return {rest.code, words::say({"outlook.line.joined", {{"first", first}, {"rest", words::say(rest, style)}}}, style)};
}

std::string taken_text(const app::Taken& taken, const words::Style& style) {
  const bool masses = taken.in_one > 1.0;
  Reason reason{masses ? "outlook.line.taken_masses" : "outlook.line.taken",
                {{"count", std::int64_t{taken.count}},
                 {"stage", Term{"stage." + taken.stage}},
                 {"plants", std::int64_t{taken.plants}},
                 {"mean", about(static_cast<double>(taken.count) / taken.plants)}}};
  if (masses) reason.facts.push_back({"each", about(taken.in_one)});
  return words::say(reason, style);
}

}  // namespace leafturn::render
