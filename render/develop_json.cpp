#include <nlohmann/json.hpp>

#include "render/develop.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {
namespace {

using nlohmann::ordered_json;

ordered_json or_null(const std::optional<double>& value) { return value ? ordered_json(*value) : ordered_json(nullptr); }

ordered_json interval(const std::optional<phenology::Interval>& value) {
  return value ? ordered_json::array({value->low, value->high}) : ordered_json(nullptr);
}

ordered_json estimates(const std::vector<phenology::Estimate>& list) {
  ordered_json out = ordered_json::object();
  for (const auto& e : list)
    out[e.key] = {{"value", e.value},
                  {"standard_error", or_null(e.standard_error)},
                  {"interval95", interval(e.interval95)},
                  {"bootstrap95", interval(e.resampled95)}};
  return out;
}

ordered_json row_json(const phenology::FittedRow& row, bool fitted) {
  const std::optional<double> rate = row.row.days ? std::optional(1.0 / *row.row.days) : std::nullopt;
  ordered_json out{{"temp_c", row.row.at.celsius()}, {"days", or_null(row.row.days)}, {"rate", or_null(rate)}, {"used", row.used}};
  if (!fitted) return out;
  out["fitted_rate"] = row.rate;
  out["fitted_days"] = row.rate > 0.0 ? ordered_json(1.0 / row.rate) : ordered_json(nullptr);
  out["residual"] = rate ? ordered_json(*rate - row.rate) : ordered_json(nullptr);
  return out;
}

}  // namespace

std::string develop_fit_json(const app::DevelopFitAnswer& answer, const words::Style& style) {
  ordered_json fits = ordered_json::array();
  for (const auto& fit : answer.fits) {
    ordered_json rows = ordered_json::array();
    for (const auto& row : fit.rows) rows.push_back(row_json(row, fit.model.has_value()));
    fits.push_back({{"form", phenology::word_for(fit.form)},
                    {"fitted", fit.model.has_value()},
                    {"parameters", estimates(fit.parameters)},
                    {"derived", estimates(fit.derived)},
                    {"n", fit.developed},
                    {"residual_sd", fit.model ? ordered_json(fit.residual_sd) : ordered_json(nullptr)},
                    {"aicc", or_null(fit.aicc)},
                    {"bootstrap_failed", fit.resamples_failed},
                    {"reasons", reasons_json(fit.reasons, style)},
                    {"rows", rows},
                    {"set", fit.model ? ordered_json(develop_set_block(answer, fit, style)) : ordered_json(nullptr)}});
  }
  const auto best = answer.best ? ordered_json(phenology::word_for(answer.fits[*answer.best].form)) : ordered_json(nullptr);
  return json_text(ordered_json{{"table", answer.asked.table},
                                {"weights", answer.asked.weights.value_or("alike")},
                                {"seed", answer.seed},
                                {"bootstrap_samples", answer.resamples},
                                {"lowest_aicc", best},
                                {"notes", reasons_json(answer.notes, style)},
                                {"fits", fits}});
}

}  // namespace leafturn::render
