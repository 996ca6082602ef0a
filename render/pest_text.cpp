#include <set>

#include "render/names.hpp"
#include "render/pest.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string word(std::string_view key, const words::Style& style) { return words::say_key(key, style); }

std::string known(const pest::Source& source, const words::Style& style) {
  const auto how = pest::word_for(source.known);
  return phrase("known." + std::string(how), how, style);
}

std::string range(double low, double high) {
  const auto plain = [](double v) {
    std::string text = fixed(v, 2);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
  };
  return low < high ? plain(low) + "–" + plain(high) : plain(low);
}

std::string bullet(const std::string& text) { return "  " + wrapped(text, page_width, 4) + "\n"; }

// A stage's part of a published whole is no better known than how the whole was parted.
const pest::Source& constant_source(const pest::Stage& stage) {
  const pest::Source& whole = pest::source_of(stage.rate.model);
  const bool parted = stage.share && stage.rate.share < 1.0;
  const auto sure = [](pest::Known known) { return known == pest::Known::seen || known == pest::Known::seen_second; };
  return parted && sure(whole.known) ? stage.share->source : whole;
}

std::string stages_text(const pest::Dossier& pest, const words::Style& style) {
  Table table;
  table.column(word("column.stage", style));
  table.column(word("column.lower", style), true);
  table.column(word("column.constant", style), true);
  table.column(word("column.spread", style), true);
  table.column(word("column.known", style));
  for (const auto& stage : pest.stages) {
    const auto* linear = stage.rate.linear();
    table.row({stage_name(stage.key, style), linear != nullptr ? fixed(linear->lower.value.celsius(), 1) + " °C" : "–",
               linear != nullptr ? fixed(linear->constant.value.celsius_days() * stage.rate.share, 0) : "–", fixed(stage.spread.value, 2),
               known(constant_source(stage), style)});
  }
  return table.text(2);
}

std::string hosts_text(const pest::Dossier& pest, const words::Style& style) {
  std::string out;
  for (int preference = 3; preference >= 1; --preference) {
    std::string names;
    for (const auto& host : pest.hosts)
      if (host.preference == preference) names += (names.empty() ? "" : ", ") + crop_name(host.crop, style);
    if (!names.empty()) out += bullet(word("pest_page.preference." + std::to_string(preference), style) + ": " + names);
  }
  return out;
}

std::string thresholds_text(const pest::Dossier& pest, const words::Style& style) {
  std::string out;
  for (const auto& threshold : pest.thresholds) {
    std::string crops;
    for (const auto& crop : threshold.crops) crops += (crops.empty() ? "" : ", ") + crop_name(crop, style);
    if (crops.empty()) crops = word("pest_page.every_host", style);
    const bool per_plant = threshold.measure == pest::Threshold::Measure::per_plant;
    const std::string value =
        per_plant ? range(threshold.value.value, threshold.value.value) : words::say_fact(Share{threshold.value.value}, style);
    out += bullet(words::say({per_plant ? "pest_page.threshold_per_plant" : "pest_page.threshold_share",
                              {{"crops", crops},
                               {"value", value},
                               {"stage", stage_name(threshold.stage, style)},
                               {"source", threshold.value.source.citation},
                               {"known", known(threshold.value.source, style)}}},
                             style));
  }
  return out;
}

std::string means_text(const pest::Dossier& pest, const words::Style& style) {
  std::string out;
  for (const auto& efficacy : pest.efficacies)
    out += bullet(words::say({"pest_page.efficacy",
                              {{"means", phrase("means." + efficacy.means, efficacy.means, style)},
                               {"low", Share{efficacy.low}},
                               {"high", Share{efficacy.high}},
                               {"source", efficacy.source.citation},
                               {"known", known(efficacy.source, style)}}},
                             style));
  return out;
}

std::string sources_text(const pest::Dossier& pest, const words::Style& style) {
  std::set<std::string> seen;
  std::string out;
  const auto add = [&](const pest::Source& source) {
    if (!source.citation.empty() && seen.insert(source.citation).second) out += bullet(source.citation + " (" + known(source, style) + ")");
  };
  for (const auto& stage : pest.stages) add(pest::source_of(stage.rate.model));
  for (const auto& host : pest.hosts) add(host.source);
  for (const auto& figure : pest.figures) add(figure.source);
  return out;
}

}  // namespace

std::string pest_text(const pest::Dossier& pest, const words::Style& style) {
  std::string out = capital(pest_name(pest, style)) + " (" + pest.scientific + ")";
  if (!pest.eppo.empty()) out += ", EPPO " + pest.eppo;
  out += "\n" + pest.order + ", " + pest.family + ". " +
         words::say({"pest_page.overwinters", {{"stage", stage_name(pest.overwinters, style)}}}, style) + "\n";
  const auto section = [&](const char* key, const std::string& body) {
    if (!body.empty()) out += "\n" + word(key, style) + "\n" + body;
  };
  section("pest_page.stages", stages_text(pest, style));
  section("pest_page.hosts", hosts_text(pest, style));
  section("pest_page.thresholds", thresholds_text(pest, style));
  section("pest_page.means", means_text(pest, style));
  std::string gaps;
  for (const auto& gap : pest.gaps) gaps += bullet(gap);
  section("pest_page.gaps", gaps);
  section("pest_page.sources", sources_text(pest, style));
  return out;
}

}  // namespace leafturn::render
