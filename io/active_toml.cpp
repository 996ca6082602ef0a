#include "io/active_toml.hpp"

#include <algorithm>
#include <array>

#include "io/dossier_beside_toml.hpp"
#include "io/dossier_fields_toml.hpp"

namespace leafturn::io {
namespace {

using dossier::Fields;
using dossier::Range;
using pest::Active;

constexpr Range kDays{0.01, 120.0};
constexpr Range kWindow{0.0, 120.0};
constexpr Range kShare{0.0, 1.0};
constexpr Range kPh{1.0, 14.0};
constexpr Range kHours{0.001, 100000.0};

std::optional<Active::Span> read_span(Fields& f, std::string_view key, Range range) {
  auto inner = f.inner(key, false);
  if (!inner) return std::nullopt;
  Active::Span out;
  out.source = inner->source();
  const Range span = inner->span(range);
  out.low = span.low;
  out.high = span.high;
  inner->finish();
  return out;
}

/// `{ value = "low" }`, or `{ low = "low", high = "moderate" }`: two of three words, the milder first.
template <class Words, class Level>
std::optional<Words> read_words(Fields& f, std::string_view key, const std::array<Level, 3>& levels) {
  auto inner = f.inner(key, false);
  if (!inner) return std::nullopt;
  std::array<std::string_view, 3> words;
  std::transform(levels.begin(), levels.end(), words.begin(), [](Level level) { return pest::word_for(level); });
  Words out;
  out.source = inner->source();
  if (inner->has("value")) {
    out.low = out.high = levels[inner->choice("value", words)];
  } else {
    out.low = levels[inner->choice("low", words)];
    out.high = levels[inner->choice("high", words)];
    if (out.low > out.high) inner->fail("dossier.low_above_high", "low");
  }
  inner->finish();
  return out;
}

std::optional<Active::Harms> read_harm(Fields& f, std::string_view key) {
  using pest::Harm;
  return read_words<Active::Harms>(f, key, std::array{Harm::low, Harm::moderate, Harm::high});
}

/// `3A`, `11A`, `UN`, `UNM`, or `none`.
bool good_group(std::string_view group) {
  if (group == "none" || group == "UN") return true;
  if (group.starts_with("UN")) return group.size() == 3 && group[2] >= 'A' && group[2] <= 'Z';
  std::size_t digits = 0;
  while (digits < group.size() && group[digits] >= '0' && group[digits] <= '9') ++digits;
  if (digits == 0 || digits > 2 || group[0] == '0') return false;
  return digits == group.size() || (group.size() == digits + 1 && group[digits] >= 'A' && group[digits] <= 'Z');
}

}  // namespace

Result<pest::Active> read_active_toml(std::string_view bytes, const std::string& name) {
  const auto table = dossier::parse(bytes, name);
  if (!table) return leafturn::fail(table.error());
  dossier::File file(name);
  Fields top(file, *table, "");
  Active out;
  out.id = dossier::stem(name);
  dossier::read_sources(top);
  out.name = top.text("name");
  out.gaps = top.texts("gaps", false);
  out.half_life_days = read_span(top, "half_life_days", kDays);
  for (auto& f : top.list("in_water", false)) {
    Active::InWater water;
    water.source = f.source();
    water.ph = f.number("ph", kPh);
    const Range hours = f.span(kHours);
    water.low_hours = hours.low;
    water.high_hours = hours.high;
    f.finish();
    if (!out.in_water.empty() && water.ph <= out.in_water.back().ph) f.fail("dossier.out_of_range", "ph");
    out.in_water.push_back(std::move(water));
  }
  out.wash_off = top.figure_or_none("wash_off", kShare);
  out.window_days = read_span(top, "window_days", kWindow);
  if (auto f = top.inner("contact_only", false)) {
    out.contact_only = pest::Sourced<bool>{f->has("value") && f->flag("value"), f->source()};
    if (!f->has("value")) f->fail("dossier.missing_field", "value");
    f->finish();
  }
  out.predatory_mites = read_harm(top, "predatory_mites");
  out.predators = read_harm(top, "predators");
  out.parasites = read_harm(top, "parasites");
  using pest::Lasting;
  out.harm_lasts = read_words<Active::Lasts>(top, "harm_lasts", std::array{Lasting::brief, Lasting::moderate, Lasting::prolonged});
  if (auto f = top.inner("bees", false)) {
    out.bees = pest::Sourced<int>{f->whole("class", {1, 3}), f->source()};
    f->finish();
  }
  if (auto f = top.inner("mode_of_action", true)) {
    out.mode_of_action = {f->text("group"), f->source()};
    if (!file.failed() && !good_group(out.mode_of_action.value))
      f->fail("dossier.bad_irac", "group", {{"value", out.mode_of_action.value}});
    f->finish();
  }
  for (auto& f : top.list("figure", false)) out.figures.push_back(dossier::read_figure(f));
  top.finish();
  file.refuse_unused_sources();
  if (file.failed()) return leafturn::fail(file.error());
  return out;
}

}  // namespace leafturn::io
