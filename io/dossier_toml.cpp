#include "io/dossier_toml.hpp"

#include <algorithm>

#include "core/base/date.hpp"
#include "io/active_toml.hpp"
#include "io/dossier_beside_toml.hpp"
#include "io/dossier_fields_toml.hpp"
#include "io/dossier_rate_toml.hpp"

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

constexpr std::string_view kGroups[] = {"egg", "nymph", "larva", "pupa", "adult"};
constexpr StageGroup kGroupValues[] = {StageGroup::egg, StageGroup::nymph, StageGroup::larva, StageGroup::pupa, StageGroup::adult};

/// `own_rate` is cleared when the stage leaves its rate to a set.
pest::Stage read_stage(Fields& f, bool& own_rate) {
  pest::Stage out;
  out.key = f.text("key");
  f.rename("stage." + out.key);
  out.group = kGroupValues[f.choice("group", kGroups)];
  if (!f.file().failed() && !out.key.starts_with(pest::word_for(out.group)))
    f.fail("dossier.stage_key", "key", {{"value", out.key}, {"group", std::string(pest::word_for(out.group))}});
  out.place = f.text("place");
  out.in_soil = f.flag("in_soil");
  if (auto rate = dossier::read_own_rate(f))
    out.rate.model = std::move(*rate);
  else
    own_rate = false;
  out.share = f.figure_or_none("share", {1e-4, 1.0});
  out.survival = f.figure_or_none("survival", {1e-3, 0.999});
  out.detection = f.figure_or_none("detection", {0.01, 1.0});
  out.spread = f.figure("spread_cv", kSpread);
  f.finish();
  return out;
}

pest::Biofix read_biofix(Fields& f) {
  using Kind = pest::Biofix::Kind;
  static constexpr std::string_view kinds[] = {"date", "degree-days", "warm-days", "day-length", "first-find"};
  static constexpr Kind values[] = {Kind::date, Kind::degree_days, Kind::warm_days, Kind::day_length, Kind::first_find};
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
  if (out.kind == Kind::degree_days || out.kind == Kind::warm_days) out.in_soil = f.flag("in_soil");
  if (out.kind == Kind::degree_days && f.has("upper_c")) {
    out.upper = Temperature::celsius(f.number("upper_c", kTemperature));
    if (!f.file().failed() && *out.upper <= *out.lower) f.fail("dossier.thresholds_crossed", "upper_c");
  }
  if (out.kind == Kind::day_length) out.day_length_hours = f.number("hours", {1.0, 23.0});
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
  out.interval_days = f.figure_or_none("interval_days", {0.1, 100.0});
  out.female_share = f.figure_or_none("female_share", {0.01, 1.0});
  out.net_reproduction = f.figure_or_none("net_reproduction", {0.01, 1000.0});
  out.females_only = f.flag("females_only");
  f.finish();
  return out;
}

pest::Movement read_movement(Fields& f) {
  pest::Movement out;
  if (auto leave = f.inner("leave_per_day", false)) {
    const Source source = leave->source();
    const Range span = leave->span(kShare);
    out.leave_per_day = pest::Movement::Share{span.low, span.high, source};
    leave->finish();
  }
  out.distance_m = f.figure_or_none("distance_m", {0.1, 1e5});
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
  for (const auto& e : d.ratings)
    for (const auto& s : e.stages) check(s, "rating." + e.means + ".stages");
  for (const auto& one : d.damages)
    if (one.loss) check(one.loss->stage, "damage.loss.stage");
  for (const auto& one : d.dispersions) check(one.stage, "dispersion.stage");
  for (const auto& one : d.sampling) check(one.stage, "sampling.stage");
  for (const auto& one : d.enemies) check(one.stage, "enemy." + one.scientific + ".stage");
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
  out.set_used = top.text_or_empty("set_used");
  std::vector<bool> has_own;
  for (auto& f : top.list("stage", true)) {
    bool own = true;
    out.stages.push_back(read_stage(f, own));
    has_own.push_back(own);
  }
  for (auto& f : top.list("set", false)) out.sets.push_back(dossier::read_set(f));
  if (auto f = top.inner("migrant", false)) {
    const auto north = f->figure("north_of_deg", {0.0, 90.0});
    out.migrant_north_of = pest::Sourced<Angle>{Angle::degrees(north.value), north.source};
    f->finish();
  }
  if (auto f = top.inner("biofix", true)) out.biofix = read_biofix(*f);
  if (auto f = top.inner("diapause", false)) out.diapause = read_diapause(*f);
  if (auto f = top.inner("winter_kill", false)) {
    const auto air = f->figure("air_below_c", {-40.0, 5.0});
    out.winter_kill = pest::Sourced<Temperature>{Temperature::celsius(air.value), air.source};
    f->finish();
  }
  if (auto f = top.inner("laying", true)) out.laying = read_laying(*f);
  if (auto f = top.inner("movement", false)) out.movement = read_movement(*f);
  if (auto f = top.inner("hosts", true)) out.hosts = read_hosts(*f);
  for (auto& f : top.list("threshold", false)) out.thresholds.push_back(read_threshold(f));
  for (auto& f : top.list("efficacy", false)) out.efficacies.push_back(read_efficacy(f));
  for (auto& f : top.list("rating", false)) out.ratings.push_back(read_efficacy(f));
  for (auto& f : top.list("dispersion", false)) out.dispersions.push_back(dossier::read_dispersion(f));
  for (auto& f : top.list("sampling", false)) out.sampling.push_back(dossier::read_sampling(f));
  for (auto& f : top.list("damage", false)) out.damages.push_back(dossier::read_damage(f));
  for (auto& f : top.list("sign", false)) out.signs.push_back(dossier::read_sign(f));
  for (auto& f : top.list("look_alike", false)) out.look_alikes.push_back(dossier::read_look_alike(f));
  for (auto& f : top.list("enemy", false)) out.enemies.push_back(dossier::read_enemy(f));
  for (auto& f : top.list("figure", false)) out.figures.push_back(dossier::read_figure(f));
  top.finish();
  file.refuse_unused_sources();
  if (!file.failed()) check_stages(file, out, *table);
  if (!file.failed()) dossier::use_set(file, out, has_own, *table);
  if (!file.failed()) check_stage_words(file, out, *table);
  if (file.failed()) return leafturn::fail(file.error());
  return out;
}

Result<pest::Friend> read_friend_toml(std::string_view bytes, const std::string& name) {
  const auto table = dossier::parse(bytes, name);
  if (!table) return leafturn::fail(table.error());
  File file(name);
  Fields top(file, *table, "");
  pest::Friend out;
  out.id = dossier::stem(name);
  dossier::read_sources(top);
  out.scientific = top.text("scientific");
  out.order = top.text("order");
  out.family = top.text("family");
  out.roles = top.texts("roles", true);
  static constexpr std::string_view roles[] = {"predator", "parasitoid", "pollinator"};
  for (const auto& role : out.roles)
    if (std::find(std::begin(roles), std::end(roles), role) == std::end(roles))
      top.fail("dossier.unknown_word", "roles", {{"value", role}, {"allowed", dossier::listed(roles)}});
  out.gaps = top.texts("gaps", false);
  for (auto& f : top.list("prey", false)) {
    pest::Friend::Prey prey{f.text("pest"), f.texts("stages", true), f.source()};
    f.finish();
    out.prey.push_back(std::move(prey));
  }
  for (auto& f : top.list("stage", false)) {
    bool own = true;
    out.stages.push_back(read_stage(f, own));
    if (!own) f.fail("dossier.no_rate", "lower_c");
  }
  for (auto& f : top.list("sign", false)) out.signs.push_back(dossier::read_sign(f));
  for (auto& f : top.list("figure", false)) out.figures.push_back(dossier::read_figure(f));
  top.finish();
  file.refuse_unused_sources();
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

Result<AnyDossier> read_dossier_toml(std::string_view bytes, const std::string& name) {
  const auto table = dossier::parse(bytes, name);
  if (!table) return leafturn::fail(table.error());
  const auto as_any = [](auto read) -> Result<AnyDossier> {
    if (!read) return leafturn::fail(read.error());
    return AnyDossier{std::move(*read)};
  };
  if (table->contains("roles")) return as_any(read_friend_toml(bytes, name));
  if (table->contains("parts")) return as_any(read_crop_toml(bytes, name));
  if (table->contains("biofix") || table->contains("stage")) return as_any(read_pest_toml(bytes, name));
  if (table->contains("mode_of_action")) return as_any(read_active_toml(bytes, name));
  return leafturn::fail("dossier.unknown_kind", {name, 0, ""});
}

}  // namespace leafturn::io
