#include "render/print.hpp"

#include <algorithm>

#include "render/csv_line.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

/// Three figures: as fine as anybody measures.
std::string figures(double value) { return plain_number(value, value >= 100.0 ? 0 : value >= 10.0 ? 1 : value >= 1.0 ? 2 : 3); }

std::string both(const std::string& metric, const std::string& us, const words::Style& style) {
  return style.units == garden::Units::us ? us + " (" + metric + ")" : metric + " (" + us + ")";
}

const char* sign(paper::Mark mark) {
  switch (mark) {
    case paper::Mark::none:
      return "";
    case paper::Mark::yes:
      return "[+] ";
    case paper::Mark::no:
      return "[-] ";
    case paper::Mark::unknown:
      return "[?] ";
    case paper::Mark::box:
      return "[ ] ";
  }
  return "";
}

std::string text_of(const paper::Heading& h) {
  return "\n" + wrapped(h.text + (h.beside.empty() ? "" : "   " + h.beside), page_width, 0) + "\n" +
         (h.level < 3 ? std::string(columns(h.text), '-') + "\n" : "");
}
std::string text_of(const paper::Paragraph& p) { return sign(p.mark) + wrapped(p.text, page_width, 2) + "\n"; }
std::string text_of(const paper::Pairs& all) {
  std::size_t widest = 0;
  for (const auto& pair : all.pairs) widest = std::max(widest, columns(pair.label));
  std::string out;
  for (const auto& pair : all.pairs) out += "  " + padded(pair.label, widest + 2) + wrapped(pair.value, page_width, widest + 4) + "\n";
  return out;
}
std::string text_of(const paper::Table& all) {
  Table table;
  for (const auto& column : all.columns) table.column(column.heading);
  for (const auto& row : all.rows) {
    std::vector<std::string> cells;
    for (const auto& cell : row) cells.push_back(sign(cell.mark) + cell.text);
    table.row(std::move(cells));
  }
  return table.text(2);
}
std::string text_of(const paper::Banner& banner) { return "\n" + std::string(sign(banner.mark)) + banner.text + "\n"; }
std::string text_of(const paper::Line&) { return "\n"; }
std::string text_of(const paper::PageBreak&) { return "\n"; }

}  // namespace

paper::Document sheet(const std::string& title, const app::Stamp& stamp, const words::Style& style) {
  paper::Document d;
  d.title = title;
  d.subtitle = words::say({"print.subtitle", {{"garden", stamp.garden}, {"at", when(stamp.zone, stamp.at)}}}, style);
  if (stamp.marked) d.corner = words::say_key("print.invented", style);
  d.footer = words::say(
      {"print.footer", {{"garden", stamp.garden}, {"events", static_cast<std::int64_t>(stamp.events)}, {"head", stamp.head.hex()}}}, style);
  d.page_words = words::say({"print.page", {{"n", std::string("{n}")}, {"m", std::string("{m}")}}}, style);
  d.made = stamp.at;
  return d;
}

std::string document_text(const paper::Document& d) {
  std::string out = d.title + (d.corner.empty() ? "" : "   [" + d.corner + "]") + "\n" + d.subtitle + "\n";
  for (const auto& block : d.blocks) out += std::visit([](const auto& one) { return text_of(one); }, block);
  return out + "\n" + wrapped(d.footer, page_width, 0) + "\n";
}

std::string when(const Zone& zone, Instant at) {
  std::string iso = zone.iso(at).substr(0, 16);
  iso[10] = ' ';
  return iso;
}

std::string volume_text(Volume v, const words::Style& style) {
  const std::string metric = v.litres() >= 1.0 ? figures(v.litres()) + " L" : figures(v.millilitres()) + " mL";
  const std::string us = v.gallons() >= 1.0 ? figures(v.gallons()) + " gal" : figures(v.fluid_ounces()) + " fl oz";
  return both(metric, us, style);
}

std::string amount_text(const garden::Amount& amount, const words::Style& style) {
  if (const auto* volume = std::get_if<Volume>(&amount)) return volume_text(*volume, style);
  const Mass mass = std::get<Mass>(amount);
  const std::string metric = mass.kilograms() >= 1.0 ? figures(mass.kilograms()) + " kg" : figures(mass.grams()) + " g";
  const std::string us = mass.pounds() >= 1.0 ? figures(mass.pounds()) + " lb" : figures(mass.ounces()) + " oz";
  return both(metric, us, style);
}

std::string area_text(Area area, const words::Style& style) {
  const std::string metric = area.hectares() >= 0.5 ? figures(area.hectares()) + " ha" : figures(area.square_metres()) + " m²";
  const std::string us = area.acres() >= 0.5 ? figures(area.acres()) + " acre" : figures(area.square_feet()) + " ft²";
  return both(metric, us, style);
}

std::string rate_text(const label::ProductRate& rate) {
  using Basis = label::ProductRate::Basis;
  switch (rate.basis) {
    case Basis::volume_per_area:
      return figures(rate.value * 1e4) + " L/ha";
    case Basis::mass_per_area:
      return figures(rate.value * 10.0) + " kg/ha";
    case Basis::volume_per_volume:
      return figures(rate.value * 1e3) + " mL/L";
    case Basis::mass_per_volume:
      return figures(rate.value) + " g/L";
  }
  return {};
}

}  // namespace leafturn::render
