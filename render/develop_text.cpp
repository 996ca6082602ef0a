#include <fmt/format.h>

#include "render/develop.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string word(std::string_view key, const words::Style& style) { return words::say_key(key, style); }

std::string paragraph(const Reason& reason, const words::Style& style) { return wrapped(words::say(reason, style), page_width, 0) + "\n"; }

// Five figures: as many as such a table can carry.
std::string figure(double value) { return fmt::format("{:.5g}", value); }
std::string figure(const std::optional<double>& value) { return value ? fmt::format("{:.2g}", *value) : std::string("–"); }
std::string figure(const std::optional<phenology::Interval>& value) {
  return value ? figure(value->low) + " … " + figure(value->high) : std::string("–");
}

std::string estimates_table(const phenology::RateFit& fit, const words::Style& style) {
  Table table;
  table.column(word("develop.parameter", style));
  table.column(word("develop.value", style), true);
  table.column(word("develop.error", style), true);
  table.column(word("develop.interval", style));
  table.column(word("develop.bootstrap", style));
  for (const auto* list : {&fit.parameters, &fit.derived})
    for (const auto& e : *list) {
      const std::string key = "develop.key." + e.key;
      const std::string name = words::has_key(key, style.language) ? word(key, style) : e.key;
      table.row({name, figure(e.value), figure(e.standard_error), figure(e.interval95), figure(e.resampled95)});
    }
  return table.text(2);
}

std::string rows_table(const phenology::RateFit& fit, const words::Style& style) {
  Table table;
  table.column("°C", true);
  table.column(word("column.days", style), true);
  table.column(word("develop.fitted_days", style), true);
  table.column("");
  for (const auto& row : fit.rows)
    table.row({fixed(row.row.at.celsius(), 1), row.row.days ? fixed(*row.row.days, 1) : word("development.never", style),
               row.rate > 0.0 ? fixed(1.0 / row.rate, 1) : word("development.never", style),
               row.used ? "" : word("develop.left_out", style)});
  return table.text(2);
}

std::string fit_text(const app::DevelopFitAnswer& answer, const phenology::RateFit& fit, const words::Style& style) {
  std::string out = std::string(phenology::word_for(fit.form)) + "\n";
  for (const auto& reason : fit.reasons) out += "  " + wrapped(words::say(reason, style), page_width, 2) + "\n";
  if (!fit.model) return out + "\n";
  out += "\n" + estimates_table(fit, style) + "\n" + rows_table(fit, style) + "\n";
  out += "  " +
         wrapped(words::say({"develop.scatter",
                             {{"scatter", fmt::format("{:.2g}", fit.residual_sd)},
                              {"n", std::int64_t{fit.developed}},
                              {"aicc", fit.aicc ? fmt::format("{:.1f}", *fit.aicc) : std::string("–")}}},
                            style),
                 page_width, 2) +
         "\n";
  if (fit.resamples_failed > 0)
    out += "  " +
           words::say({"develop.bootstrap_failed", {{"n", std::int64_t{fit.resamples_failed}}, {"of", std::int64_t{answer.resamples}}}},
                      style) +
           "\n";
  return out + "\n" + develop_set_block(answer, fit, style) + "\n";
}

}  // namespace

std::string develop_fit_text(const app::DevelopFitAnswer& answer, const words::Style& style) {
  std::string out =
      paragraph({"develop.title", {{"table", answer.asked.table}, {"n", static_cast<std::int64_t>(answer.rows.size())}}}, style) + "\n";
  for (const auto& fit : answer.fits) out += fit_text(answer, fit, style);
  if (answer.best) out += paragraph({"develop.best", {{"form", std::string(phenology::word_for(answer.fits[*answer.best].form))}}}, style);
  return out + paragraph({answer.none_fitted() ? "develop.none" : "develop.sure", {}}, style);
}

}  // namespace leafturn::render
