#include "io/dossier_toml.hpp"

#include <algorithm>

#include "core/base/date.hpp"
#include "embedded/dossiers.hpp"
#include "io/dossier_fields_toml.hpp"

namespace leafturn::io {
namespace {

using dossier::Fields;
using dossier::File;
using dossier::Range;
using pest::Source;
using pest::StageGroup;

constexpr Range kTemperature{-40.0, 60.0};
constexpr Range kHeat{1.0, 5000.0};
constexpr Range kSpread{0.01, 1.5};
constexpr Range kShare{0.0, 1.0};
constexpr Range kAny{-1e6, 1e6};

pest::Sourced<Temperature> temperature(const pest::Sourced<double>& f) { return {Temperature::celsius(f.value), f.source}; }
pest::Sourced<DegreeDays> heat(const pest::Sourced<double>& f) { return {DegreeDays::celsius_days(f.value), f.source}; }

constexpr std::string_view kGroups[] = {"egg", "nymph", "larva", "pupa", "adult"};
constexpr StageGroup kGroupValues[] = {StageGroup::egg, StageGroup::nymph, StageGroup::larva, StageGroup::pupa, StageGroup::adult};

pest::Stage read_stage(Fields& f) {
  pest::Stage out;
  out.key = f.text("key");
  f.rename("stage." + out.key);
  out.group = kGroupValues[f.choice("group", kGroups)];
  if (!f.file().failed() && !out.key.starts_with(pest::word_for(out.group)))
    f.fail("dossier.stage_key", "key", {{"value", out.key}, {"group", std::string(pest::word_for(out.group))}});
  out.place = f.text("place");
  out.in_soil = f.flag("in_soil");
  out.rate.lower = temperature(f.figure("lower_c", kTemperature));
  out.rate.constant = heat(f.figure("constant_dd", kHeat));
  if (const auto upper = f.figure_or_none("upper_c", kTemperature)) out.rate.upper = temperature(*upper);
  if (const auto lethal = f.figure_or_none("lethal_c", kTemperature)) out.rate.lethal = temperature(*lethal);
  for (const auto* limit : {&out.rate.upper, &out.rate.lethal})
    if (*limit && (*limit)->value <= out.rate.lower.value)
      f.fail("dossier.thresholds_crossed", limit == &out.rate.upper ? "upper_c" : "lethal_c");
  out.spread = f.figure("spread_cv", kSpread);
  f.finish();
  return out;
}

pest::Biofix read_biofix(Fields& f) {
  using Kind = pest::Biofix::Kind;
  static constexpr std::string_view kinds[] = {"date", "degree-days", "warm-days", "first-find"};
  static constexpr Kind values[] = {Kind::date, Kind::degree_days, Kind::warm_days, Kind::first_find};
  pest::Biofix out;
  out.kind = values[f.choice("kind", kinds)];
  out.stage = f.text("stage");
  if (out.kind != Kind::first_find) {
    out.month = f.whole("month", {1, 12});
    out.day = f.whole("day", {1, 31});
    if (!f.file().failed() && !Date::from_ymd(2000, out.month, out.day)) f.fail("dossier.no_such_day", "day");
  }
  if (out.kind == Kind::degree_days || out.kind == Kind::warm_days) out.lower = Temperature::celsius(f.number("lower_c", kTemperature));
  if (out.kind == Kind::degree_days) out.sum = DegreeDays::celsius_days(f.number("sum_dd", kHeat));
  if (out.kind == Kind::warm_days) out.run_days = f.whole("run_days", {1, 60});
  out.spread = f.number("spread_cv", kSpread);
  out.source = f.source();
  f.finish();
  return out;
}

pest::Diapause read_diapause(Fields& f) {
  pest::Diapause out;
  out.sensitive_stage = f.text("sensitive_stage");
  out.resting_stage = f.text("resting_stage");
  out.critical_hours = f.figure("critical_hours", {6.0, 20.0});
  out.slope_hours = f.number("slope_hours", {0.01, 4.0});
  f.finish();
  return out;
}

pest::Laying read_laying(Fields& f) {
  using Kind = pest::Laying::Kind;
  static constexpr std::string_view kinds[] = {"single", "mass", "live"};
  static constexpr Kind values[] = {Kind::single, Kind::mass, Kind::live};
  pest::Laying out;
  out.kind = values[f.choice("kind", kinds)];
  out.per_mass = f.figure_or_none("per_mass", {1.0, 1000.0});
  if (out.kind == Kind::mass && !out.per_mass) f.fail("dossier.missing_field", "per_mass");
  out.fecundity = f.figure_or_none("fecundity", {1.0, 10000.0});
  f.finish();
  return out;
}

pest::Threshold read_threshold(Fields& f) {
  using Measure = pest::Threshold::Measure;
  static constexpr std::string_view measures[] = {"plant", "share-of-plants"};
  pest::Threshold out;
  out.crops = f.texts("crops", false);
  out.stage = f.text("stage");
  out.measure = f.choice("per", measures) == 0 ? Measure::per_plant : Measure::share_of_plants;
  out.growth = f.text_or_empty("growth");
  out.value.source = f.source();
  out.value.value = f.number("value", out.measure == Measure::per_plant ? Range{0.001, 10000.0} : Range{0.001, 1.0});
  f.finish();
  return out;
}

pest::Efficacy read_efficacy(Fields& f) {
  pest::Efficacy out;
  out.means = f.text("means");
  out.is_active = f.flag("active");
  out.stages = f.texts("stages", true);
  out.source = f.source();
  const Range span = f.span(kShare);
  out.low = span.low;
  out.high = span.high;
  f.finish();
  return out;
}

pest::Figure read_figure(Fields& f) {
  pest::Figure out;
  out.what = f.text("what");
  f.rename("figure." + out.what);
  out.source = f.source();
  const Range span = f.span(kAny);
  out.low = span.low;
  out.high = span.high;
  out.unit = f.text("unit");
  f.finish();
  return out;
}

std::vector<pest::Host> read_hosts(Fields& f) {
  std::vector<pest::Host> out;
  for (const auto& [key, node] : f.table()) {
    const std::string crop(key.str());
    if (!dossier::good_eppo(crop)) f.fail("dossier.bad_eppo", crop, {{"value", crop}});
    auto one = f.inner(crop, true);
    if (!one) return out;
    pest::Host host{crop, one->whole("preference", {1, 3}), one->source()};
    one->finish();
    out.push_back(std::move(host));
  }
  return out;
}

// A stage named elsewhere in the dossier must mean something in it.
void check_stage_words(File& file, const pest::Dossier& d, const toml::table& table) {
  const auto check = [&](const std::string& word, const std::string& field) {
    if (pest::stages_for(d, word).stages.empty()) file.fail("dossier.unknown_stage", field, &table, {{"value", word}});
  };
  check(d.biofix.stage, "biofix.stage");
  check(d.overwinters, "overwinters");
  if (d.diapause) {
    check(d.diapause->sensitive_stage, "diapause.sensitive_stage");
    check(d.diapause->resting_stage, "diapause.resting_stage");
  }
  for (const auto& t : d.thresholds) check(t.stage, "threshold.stage");
  for (const auto& e : d.efficacies)
    for (const auto& s : e.stages) check(s, "efficacy." + e.means + ".stages");
}

void check_stages(File& file, const pest::Dossier& d, const toml::table& table) {
  for (std::size_t i = 0; i < d.stages.size(); ++i) {
    if (*d.stage_index(d.stages[i].key) != i)
      file.fail("dossier.duplicate", "stage." + d.stages[i].key, &table, {{"value", d.stages[i].key}});
    if (i > 0 && d.stages[i].group < d.stages[i - 1].group) file.fail("dossier.stage_order", "stage." + d.stages[i].key, &table);
  }
  for (const std::string_view key : {"adult-new", "adult-laying"})
    if (!d.stage_index(key)) file.fail("dossier.missing_field", "stage." + std::string(key), &table);
}

}  // namespace

Result<pest::Dossier> read_pest_toml(std::string_view bytes, const std::string& name) {
  const auto table = dossier::parse(bytes, name);
  if (!table) return leafturn::fail(table.error());
  File file(name);
  Fields top(file, *table, "");
  pest::Dossier out;
  out.id = dossier::stem(name);
  dossier::read_sources(top);
  if (auto eppo = top.inner("eppo", false)) {
    out.eppo = eppo->eppo("code");
    out.eppo_source = eppo->source();
    eppo->finish();
  }
  out.scientific = top.text("scientific");
  out.order = top.text("order");
  out.family = top.text("family");
  out.overwinters = top.text("overwinters");
  out.gaps = top.texts("gaps", false);
  for (auto& f : top.list("stage", true)) out.stages.push_back(read_stage(f));
  if (auto f = top.inner("biofix", true)) out.biofix = read_biofix(*f);
  if (auto f = top.inner("diapause", false)) out.diapause = read_diapause(*f);
  if (auto f = top.inner("winter_kill", false)) {
    const auto air = f->figure("air_below_c", {-40.0, 5.0});
    out.winter_kill = pest::Sourced<Temperature>{Temperature::celsius(air.value), air.source};
    f->finish();
  }
  if (auto f = top.inner("laying", true)) out.laying = read_laying(*f);
  if (auto f = top.inner("hosts", true)) out.hosts = read_hosts(*f);
  for (auto& f : top.list("threshold", false)) out.thresholds.push_back(read_threshold(f));
  for (auto& f : top.list("efficacy", false)) out.efficacies.push_back(read_efficacy(f));
  for (auto& f : top.list("figure", false)) out.figures.push_back(read_figure(f));
  top.finish();
  file.refuse_unused_sources();
  if (!file.failed()) check_stages(file, out, *table);
  if (!file.failed()) check_stage_words(file, out, *table);
  if (file.failed()) return leafturn::fail(file.error());
  return out;
}

Result<pest::Crop> read_crop_toml(std::string_view bytes, const std::string& name) {
  const auto table = dossier::parse(bytes, name);
  if (!table) return leafturn::fail(table.error());
  File file(name);
  Fields top(file, *table, "");
  pest::Crop out;
  out.id = dossier::stem(name);
  dossier::read_sources(top);
  if (auto eppo = top.inner("eppo", true)) {
    out.eppo = eppo->eppo("code");
    out.eppo_source = eppo->source();
    eppo->finish();
  }
  out.family = top.eppo("family");
  out.parts = top.texts("parts", true);
  out.from_transplant = top.flag("from_transplant");
  if (auto days = top.inner("days", false)) {
    const Source source = days->source();
    const Range span = days->span({10.0, 400.0});
    out.days_low = pest::Sourced<double>{span.low, source};
    out.days_high = pest::Sourced<double>{span.high, source};
    days->finish();
  }
  for (auto& f : top.list("label_group", false)) {
    const std::string group = f.text("group");
    const std::string part = f.text_or_empty("part");
    f.rename("label_group." + group);
    if (part.empty()) {
      out.label_groups.push_back({group, f.source()});
    } else {
      if (std::find(out.parts.begin(), out.parts.end(), part) == out.parts.end())
        f.fail("dossier.unknown_word", "part",
               {{"value", part}, {"allowed", dossier::listed(std::vector<std::string_view>(out.parts.begin(), out.parts.end()))}});
      out.part_groups.push_back({part, group, f.source()});
    }
    f.finish();
  }
  top.finish();
  file.refuse_unused_sources();
  if (file.failed()) return leafturn::fail(file.error());
  return out;
}

Result<pest::Library> built_in_library() {
  pest::Library out;
  for (const auto& file : embedded::dossiers()) {
    const std::string name(file.name);
    if (name.starts_with("dossiers/pests/")) {
      auto one = read_pest_toml(file.bytes, name);
      if (!one) return leafturn::fail(one.error());
      out.pests.push_back(std::move(*one));
    } else {
      auto one = read_crop_toml(file.bytes, name);
      if (!one) return leafturn::fail(one.error());
      out.crops.push_back(std::move(*one));
    }
  }
  std::sort(out.pests.begin(), out.pests.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  std::sort(out.crops.begin(), out.crops.end(), [](const auto& a, const auto& b) { return a.eppo < b.eppo; });
  for (std::size_t i = 1; i < out.crops.size(); ++i)
    if (out.crops[i].eppo == out.crops[i - 1].eppo)
      return leafturn::fail("dossier.duplicate", {"dossiers/crops/" + out.crops[i].id + ".toml", 0, "eppo.code"},
                            {{"value", out.crops[i].eppo}});
  for (const auto& d : out.pests) {
    const auto unknown = [&](const std::string& crop, const std::string& field) {
      return leafturn::fail("dossier.unknown_crop", {"dossiers/pests/" + d.id + ".toml", 0, field}, {{"value", crop}});
    };
    for (const auto& h : d.hosts)
      if (out.crop(h.crop) == nullptr) return unknown(h.crop, "hosts." + h.crop);
    for (const auto& t : d.thresholds)
      for (const auto& c : t.crops)
        if (out.crop(c) == nullptr) return unknown(c, "threshold.crops");
  }
  return out;
}

}  // namespace leafturn::io
