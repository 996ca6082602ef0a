#include "io/dossier_rate_toml.hpp"

namespace leafturn::io::dossier {
namespace {

constexpr Range kTemperature{-40.0, 60.0};
constexpr Range kHeat{1.0, 5000.0};
constexpr Range kDays{0.05, 1000.0};
constexpr Range kAny{-1e7, 1e7};
constexpr Range kPositive{1e-12, 1e7};

pest::Sourced<Temperature> temperature(const pest::Sourced<double>& f) { return {Temperature::celsius(f.value), f.source}; }
Temperature temperature(Fields& f, std::string_view key) { return Temperature::celsius(f.number(key, kTemperature)); }

void check_order(Fields& f, Temperature low, Temperature high, std::string_view key) {
  if (!f.file().failed() && high <= low) f.fail("dossier.thresholds_crossed", key);
}

pest::LinearRate read_linear(Fields& f, const pest::Source& source) {
  pest::LinearRate out;
  out.lower = {temperature(f, "lower_c"), source};
  out.constant = {DegreeDays::celsius_days(f.number("constant_dd", kHeat)), source};
  if (f.has("upper_c")) out.upper = pest::Sourced<Temperature>{temperature(f, "upper_c"), source};
  if (f.has("lethal_c")) out.lethal = pest::Sourced<Temperature>{temperature(f, "lethal_c"), source};
  if (out.upper) check_order(f, out.lower.value, out.upper->value, "upper_c");
  if (out.lethal) check_order(f, out.lower.value, out.lethal->value, "lethal_c");
  return out;
}

pest::BriereRate read_briere(Fields& f, const pest::Source& source, bool with_m) {
  pest::BriereRate out;
  out.scale = f.number("scale", kPositive);
  out.lower = temperature(f, "lower_c");
  out.upper = temperature(f, "upper_c");
  if (with_m) out.m = f.number("m", {0.5, 100.0});
  out.source = source;
  check_order(f, out.lower, out.upper, "upper_c");
  return out;
}

pest::SchoolfieldRate::Inactivation read_inactivation(Fields& f) {
  pest::SchoolfieldRate::Inactivation out{f.number("enthalpy", kAny), f.number("half_kelvin", {1.0, 1e5})};
  f.finish();
  return out;
}

pest::SchoolfieldRate read_schoolfield(Fields& f, const pest::Source& source) {
  pest::SchoolfieldRate out;
  out.rho25 = f.number("rho25", kPositive);
  out.ha = f.number("ha", kAny);
  if (auto low = f.inner("low", false)) out.low = read_inactivation(*low);
  if (auto high = f.inner("high", false)) out.high = read_inactivation(*high);
  out.source = source;
  return out;
}

pest::TableRate read_table(Fields& f, const pest::Source& source) {
  pest::TableRate out;
  out.source = source;
  for (const auto& row : f.number_rows("points", 1, 2)) {
    pest::TableRate::Point point{Temperature::celsius(row.front()), {}};
    if (row.size() > 1) point.days = row[1];
    const auto outside = [](double v, Range r) { return !(v >= r.low && v <= r.high); };
    if (outside(row.front(), kTemperature) || (point.days && outside(*point.days, kDays)) ||
        (!out.points.empty() && out.points.back().temperature >= point.temperature))
      f.fail("dossier.rate_table", "points");
    out.points.push_back(point);
  }
  std::size_t developed = 0;
  for (const auto& point : out.points) developed += point.days ? 1U : 0U;
  if (!f.file().failed() && developed < 2) f.fail("dossier.rate_table", "points");
  return out;
}

constexpr std::string_view kForms[] = {"linear",   "briere-1",           "briere-2",   "lactin-2", "logan-6",
                                       "logan-10", "sharpe-schoolfield", "kontodimas", "beta",     "table"};

std::optional<std::size_t> index_of(const pest::Dossier& d, const std::string& key) { return d.stage_index(key); }

}  // namespace

pest::RateModel read_rate_form(Fields& f) {
  const std::size_t form = f.choice("form", kForms);
  const pest::Source source = f.source();
  switch (form) {
    case 1:
    case 2:
      return read_briere(f, source, form == 2);
    case 3: {
      pest::LactinRate out{f.number("rho", kPositive), temperature(f, "upper_c"), f.number("delta", kPositive), f.number("lambda", kAny),
                           source};
      return out;
    }
    case 4: {
      pest::LoganRate out{f.number("psi", kPositive), f.number("rho", kPositive),   temperature(f, "base_c"),
                          temperature(f, "upper_c"),  f.number("delta", kPositive), source};
      check_order(f, out.base, out.upper, "upper_c");
      return out;
    }
    case 5: {
      pest::Logan10Rate out{f.number("alpha", kPositive),
                            f.number("k", kPositive),
                            f.number("rho", kPositive),
                            temperature(f, "base_c"),
                            temperature(f, "upper_c"),
                            f.number("delta", kPositive),
                            source};
      check_order(f, out.base, out.upper, "upper_c");
      return out;
    }
    case 6:
      return read_schoolfield(f, source);
    case 7: {
      pest::KontodimasRate out{f.number("scale", kPositive), temperature(f, "lower_c"), temperature(f, "upper_c"), source};
      check_order(f, out.lower, out.upper, "upper_c");
      return out;
    }
    case 8: {
      pest::BetaRate out{f.number("mu", kAny),      f.number("alpha", kPositive), f.number("beta", kPositive),
                         temperature(f, "lower_c"), temperature(f, "upper_c"),    source};
      check_order(f, out.lower, out.upper, "upper_c");
      return out;
    }
    case 9:
      return read_table(f, source);
    default:
      return read_linear(f, source);
  }
}

std::optional<pest::RateModel> read_own_rate(Fields& stage) {
  if (auto form = stage.inner("rate", false)) {
    const auto model = read_rate_form(*form);
    form->finish();
    return model;
  }
  if (!stage.has("lower_c") && !stage.has("constant_dd") && stage.has("share")) return std::nullopt;
  pest::LinearRate out;
  out.lower = temperature(stage.figure("lower_c", kTemperature));
  const auto constant = stage.figure("constant_dd", kHeat);
  out.constant = {DegreeDays::celsius_days(constant.value), constant.source};
  if (const auto upper = stage.figure_or_none("upper_c", kTemperature)) out.upper = temperature(*upper);
  if (const auto lethal = stage.figure_or_none("lethal_c", kTemperature)) out.lethal = temperature(*lethal);
  for (const auto* limit : {&out.upper, &out.lethal})
    if (*limit && (*limit)->value <= out.lower.value)
      stage.fail("dossier.thresholds_crossed", limit == &out.upper ? "upper_c" : "lethal_c");
  return out;
}

pest::ParameterSet read_set(Fields& f) {
  pest::ParameterSet out;
  out.id = f.text("id");
  f.rename("set." + out.id);
  out.population = f.text("population");
  out.first = f.text("first");
  out.last = f.text("last");
  out.why = f.text_or_empty("why");
  out.model = read_rate_form(f);
  f.finish();
  return out;
}

void use_set(File& file, pest::Dossier& d, const std::vector<bool>& has_own, const toml::table& top) {
  const pest::ParameterSet* used = nullptr;
  for (std::size_t i = 0; i < d.sets.size(); ++i) {
    const pest::ParameterSet& set = d.sets[i];
    const auto first = index_of(d, set.first);
    const auto last = index_of(d, set.last);
    if (!first || !last || *last < *first) file.fail("dossier.set_stages", "set." + set.id, &top, {{"value", set.first + "–" + set.last}});
    for (std::size_t j = 0; j < i; ++j)
      if (d.sets[j].id == set.id) file.fail("dossier.duplicate", "set." + set.id, &top, {{"value", set.id}});
    if (set.id == d.set_used) used = &set;
  }
  if (file.failed()) return;
  if (!d.set_used.empty() && used == nullptr) file.fail("dossier.unknown_set", "set_used", &top, {{"value", d.set_used}});
  const auto first = used != nullptr ? *index_of(d, used->first) : d.stages.size();
  const auto last = used != nullptr ? *index_of(d, used->last) : 0;
  double sum = 0.0;
  for (std::size_t s = first; s <= last && s < d.stages.size(); ++s) {
    if (!d.stages[s].share) file.fail("dossier.share_missing", "stage." + d.stages[s].key, &top, {{"value", d.set_used}});
    if (has_own[s]) file.fail("dossier.two_rates", "stage." + d.stages[s].key, &top, {{"value", d.set_used}});
    if (file.failed()) return;
    sum += d.stages[s].share->value;
  }
  for (std::size_t s = 0; s < d.stages.size(); ++s) {
    if (s >= first && s <= last)
      d.stages[s].rate = {used->model, d.stages[s].share->value / sum};
    else if (!has_own[s])
      file.fail("dossier.no_rate", "stage." + d.stages[s].key, &top);
  }
}

}  // namespace leafturn::io::dossier
