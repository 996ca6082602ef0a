#include "render/names.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using paper::Mark;
using paper::Tone;

const words::Style english{words::Language::en, {}}, spanish{words::Language::es, {}};

/// The same in both languages.
std::string twice(const char* key, const std::vector<Fact>& facts, const char* between) {
  return words::say({key, facts}, english) + between + words::say({key, facts}, spanish);
}

std::string names(const std::vector<std::string>& crops, const words::Style& style) {
  std::string out;
  for (const auto& crop : crops) out += (out.empty() ? "" : ", ") + crop_name(crop, style);
  return out.empty() ? "–" : out;
}

void until(paper::Document& doc, const char* known, const char* unknown, const std::optional<Instant>& from, const Zone& zone) {
  for (const auto& style : {english, spanish}) {
    const std::string text = from ? words::say({known, {{"from", when(zone, *from)}}}, style) : words::say_key(unknown, style);
    doc.blocks.push_back(paper::Banner{text, 19.0});
  }
}

void one_sign(paper::Document& doc, const app::Sign& sign, const Zone& zone) {
  const auto& r = sign.record;
  doc.blocks.push_back(paper::Banner{twice("sign.do_not_enter", {}, "\n"), 36.0, Mark::no});
  doc.blocks.push_back(paper::Banner{twice("sign.bed", {{"bed", r.bed}}, " · "), 28.0});
  doc.blocks.push_back(paper::Banner{names(r.crops, english) + " · " + names(r.crops, spanish), 16.0});
  if (sign.planned) {
    doc.blocks.push_back(paper::Banner{twice("sign.planned", {{"when", when(zone, r.ended)}}, "\n"), 18.0});
    doc.blocks.push_back(paper::Banner{twice("sign.fill_in", {}, "\n"), 16.0});
  } else {
    until(doc, "sign.enter_from", r.reentry_until_dry ? "sign.enter_when_dry" : "sign.enter_unknown", r.entry_from, zone);
    const bool closed = r.outside_label || r.not_judged;
    until(doc, "sign.pick_from", closed ? "sign.pick_closed" : "sign.pick_unknown", closed ? std::nullopt : r.harvest_from, zone);
  }
  doc.blocks.emplace_back(std::in_place_type<paper::Line>);
  const auto label = [](const char* key) { return words::say_key(key, english) + " / " + words::say_key(key, spanish); };
  const auto or_not = [](const std::string& text) {
    return text.empty() ? words::say_key("records.not_recorded", english) + " / " + words::say_key("records.not_recorded", spanish) : text;
  };
  std::string actives;
  for (const auto& active : r.actives) actives += (actives.empty() ? "" : ", ") + active.name;
  doc.blocks.push_back(paper::Pairs{{{label("records.field.product"), or_not(r.product), r.product.empty()},
                                     {label("records.field.registration"), or_not(r.registration), r.registration.empty()},
                                     {label("records.field.active"), or_not(actives), actives.empty()},
                                     {label(sign.planned ? "sign.planned_for" : "sign.ended"), when(zone, r.ended)}},
                                    1});
  std::vector<Fact> facts{{"up", when(zone, sign.times.up_from)}};
  if (sign.times.down_by && !sign.planned) facts.push_back({"down", when(zone, *sign.times.down_by)});
  const char* key = facts.size() == 2 ? "sign.up_down" : "sign.up";
  for (const auto& style : {english, spanish}) {
    doc.blocks.push_back(paper::Paragraph{words::say({key, facts}, style), Tone::small});
    doc.blocks.push_back(paper::Paragraph{words::say_key("sign.not_the_warning_sign", style), Tone::small});
    doc.blocks.push_back(paper::Paragraph{words::say_key("caution.poisoning", style), Tone::small});
  }
}

}  // namespace

paper::Document signs_document(const app::SignsAnswer& answer, const words::Style& style) {
  paper::Document doc = sheet(twice("sign.title", {}, " · "), answer.stamp, style);
  if (answer.signs.empty()) doc.blocks.push_back(paper::Paragraph{twice("sign.none", {}, " · ")});
  for (const auto& sign : answer.signs) {
    if (&sign != &answer.signs.front()) doc.blocks.emplace_back(std::in_place_type<paper::PageBreak>);
    one_sign(doc, sign, answer.stamp.zone);
  }
  return doc;
}

}  // namespace leafturn::render
