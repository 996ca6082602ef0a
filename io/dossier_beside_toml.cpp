#include "io/dossier_beside_toml.hpp"

namespace leafturn::io::dossier {
namespace {

constexpr Range kShare{0.0, 1.0};
constexpr Range kAny{-1e6, 1e6};

pest::Damage::Loss read_loss(Fields& f) {
  using Per = pest::Damage::Loss::Per;
  static constexpr std::string_view words[] = {"individual-day", "individual"};
  pest::Damage::Loss out;
  out.per = f.choice("per", words) == 0 ? Per::individual_day : Per::individual;
  out.stage = f.text("stage");
  out.source = f.source();
  const Range span = f.span(kShare);
  out.low = span.low;
  out.high = span.high;
  f.finish();
  return out;
}

pest::Damage::Tolerated read_tolerated(Fields& f) {
  using Measure = pest::Damage::Tolerated::Measure;
  static constexpr std::string_view words[] = {"share-of-leaf", "season-mean-per-plant"};
  pest::Damage::Tolerated out;
  out.measure = f.choice("measure", words) == 0 ? Measure::share_of_leaf : Measure::season_mean_per_plant;
  out.growth = f.text_or_empty("growth");
  out.source = f.source();
  const Range span = f.span(out.measure == Measure::share_of_leaf ? kShare : Range{0.0, 1e5});
  out.low = span.low;
  out.high = span.high;
  f.finish();
  return out;
}

pest::Damage::Reject read_reject(Fields& f) {
  static constexpr std::string_view words[] = {"sale", "box", "donation", "kitchen"};
  pest::Damage::Reject out;
  out.outlet = words[f.choice("outlet", words)];
  out.source = f.source();
  const Range span = f.span(kShare);
  out.low = span.low;
  out.high = span.high;
  f.finish();
  return out;
}

}  // namespace

pest::Dispersion read_dispersion(Fields& f) {
  using Kind = pest::Dispersion::Kind;
  static constexpr std::string_view kinds[] = {"taylor", "iwao", "k"};
  static constexpr Kind values[] = {Kind::taylor, Kind::iwao, Kind::k};
  pest::Dispersion out;
  out.kind = values[f.choice("kind", kinds)];
  if (out.kind == Kind::taylor) {
    out.a = f.number("a", {1e-3, 1e4});
    out.b = f.number("b", {0.1, 4.0});
  } else if (out.kind == Kind::iwao) {
    out.a = f.number("alpha", {-10.0, 1e3});
    out.b = f.number("beta", {0.1, 20.0});
  } else {
    out.a = f.number("k", {1e-3, 1e3});
  }
  out.stage = f.text("stage");
  out.unit = f.text("unit");
  out.source = f.source();
  f.finish();
  return out;
}

pest::SamplingPlan read_sampling(Fields& f) {
  using Kind = pest::SamplingPlan::Kind;
  static constexpr std::string_view kinds[] = {"sequential-binomial", "sequential-count", "fixed"};
  static constexpr Kind values[] = {Kind::sequential_binomial, Kind::sequential_count, Kind::fixed};
  pest::SamplingPlan out;
  out.kind = values[f.choice("kind", kinds)];
  out.stage = f.text("stage");
  out.unit = f.text("unit");
  if (out.kind != Kind::fixed) {
    const Range level = out.kind == Kind::sequential_binomial ? Range{1e-4, 1.0} : Range{1e-4, 1e5};
    out.low = f.number("low", level);
    out.high = f.number("high", level);
    if (out.low >= out.high) f.fail("dossier.low_above_high", "low");
  }
  if (f.has("alpha")) out.alpha = f.number("alpha", {1e-4, 0.5});
  if (f.has("beta")) out.beta = f.number("beta", {1e-4, 0.5});
  if (out.kind == Kind::fixed || f.has("plants")) out.plants = f.whole("plants", {1, 10000});
  out.source = f.source();
  f.finish();
  return out;
}

pest::Damage read_damage(Fields& f) {
  using Kind = pest::Damage::Kind;
  static constexpr std::string_view kinds[] = {"harvested", "foliage", "root", "stand", "vector", "contaminant"};
  static constexpr Kind values[] = {Kind::harvested, Kind::foliage, Kind::root, Kind::stand, Kind::vector, Kind::contaminant};
  pest::Damage out;
  out.kind = values[f.choice("kind", kinds)];
  out.crops = f.texts("crops", false);
  out.source = f.source();
  if (auto loss = f.inner("loss", false)) out.loss = read_loss(*loss);
  for (auto& one : f.list("tolerated", false)) out.tolerated.push_back(read_tolerated(one));
  for (auto& one : f.list("reject", false)) out.rejects.push_back(read_reject(one));
  f.finish();
  return out;
}

pest::Sign read_sign(Fields& f) {
  pest::Sign out;
  out.character = f.text("character");
  out.state = f.text("state");
  out.source = f.source();
  f.finish();
  return out;
}

pest::LookAlike read_look_alike(Fields& f) {
  pest::LookAlike out;
  out.id = f.text("id");
  out.scientific = f.text("scientific");
  out.source = f.source();
  f.finish();
  return out;
}

pest::Enemy read_enemy(Fields& f) {
  pest::Enemy out;
  out.friend_id = f.text_or_empty("friend");
  out.scientific = f.text("scientific");
  out.stage = f.text("stage");
  out.source = f.source();
  if (f.has("value") || f.has("low") || f.has("high")) {
    const Range taken = f.span(kShare);
    out.low = taken.low;
    out.high = taken.high;
  }
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

}  // namespace leafturn::io::dossier
