#include "core/pest/active.hpp"
#include "core/pest/dossier.hpp"
#include "render/dossier_page.hpp"
#include "render/dossier_page_parts.hpp"

namespace leafturn::render {
namespace {

using pest::Active;

std::string span(const Active::Span& one) { return range(one.low, one.high) + " d"; }

template <class Words>
std::string levels(const Page& page, const char* group, const Words& one) {
  const auto word = [&](auto level) { return page.word(std::string(group) + std::string(pest::word_for(level))); };
  return one.low == one.high ? word(one.low) : word(one.low) + "–" + word(one.high);
}

void write_active(Page& page, const Active& a) {
  page.out += "\n### " + a.name + "\n\n";
  const auto line = [&](std::string_view key, const std::string& value, const pest::Source& source) {
    page.out += "- " + page.word(key) + ": " + value + ". " + page.cite(source) + "\n";
  };
  const std::string& group = a.mode_of_action.value;
  line("actives_page.group", group == "none" ? page.word("actives_page.no_group") : group, a.mode_of_action.source);
  if (a.half_life_days) line("actives_page.half_life", span(*a.half_life_days), a.half_life_days->source);
  for (const auto& water : a.in_water)
    line("actives_page.in_water", "pH " + number(water.ph) + ": " + range(water.low_hours, water.high_hours) + " h", water.source);
  if (a.wash_off) line("actives_page.wash_off", number(100.0 * a.wash_off->value) + " %", a.wash_off->source);
  if (a.window_days) line("actives_page.window", span(*a.window_days), a.window_days->source);
  if (a.contact_only && a.contact_only->value)
    page.out += "- " + page.word("actives_page.contact") + ". " + page.cite(a.contact_only->source) + "\n";
  const auto harm = [&](const char* key, const std::optional<Active::Harms>& one) {
    if (one) line(key, levels(page, "actives_page.harm.", *one), one->source);
  };
  harm("actives_page.predatory_mites", a.predatory_mites);
  harm("actives_page.predators", a.predators);
  harm("actives_page.parasites", a.parasites);
  if (a.harm_lasts) line("actives_page.harm_lasts", levels(page, "actives_page.lasts.", *a.harm_lasts), a.harm_lasts->source);
  if (a.bees) line("actives_page.bees", page.word("actives_page.bees_class." + std::to_string(a.bees->value)), a.bees->source);
  for (const auto& f : a.figures)
    page.out += "- `" + f.what + "`: " + range(f.low, f.high) + " " + f.unit + ". " + page.cite(f.source) + "\n";
  for (const auto& gap : a.gaps) page.out += "- " + page.word("actives_page.gap") + ": " + gap + "\n";
}

}  // namespace

std::string actives_page_markdown(const pest::Library& library, const words::Style& style) {
  Page page(style);
  page.out = "# " + page.word("actives_page.title") + "\n\n" + page.word("actives_page.about") + "\n";
  for (const Active& a : library.actives) write_active(page, a);
  page.sources();
  return page.out;
}

}  // namespace leafturn::render
