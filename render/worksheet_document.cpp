#include <cmath>

#include "render/cautions.hpp"
#include "render/names.hpp"
#include "render/print.hpp"
#include "render/spray_work.hpp"

namespace leafturn::render {
namespace {

using paper::Mark;
using paper::Tone;

std::string listed(const std::vector<std::string>& items) {
  std::string out;
  for (const auto& item : items) out += (out.empty() ? "" : ", ") + item;
  return out;
}

class Sheet {
 public:
  Sheet(const app::WorksheetAnswer& answer, const words::Style& style) : a_{answer}, style_{style} {}

  paper::Document write() {
    doc_ = sheet(key("worksheet.title"), a_.stamp, style_);
    job();
    card();
    doses();
    order();
    water();
    shelf();
    wear();
    after();
    return std::move(doc_);
  }

 private:
  void add(paper::Block block) { doc_.blocks.push_back(std::move(block)); }
  std::string key(const std::string& k) const { return words::say_key(k, style_); }
  std::string say(const char* k, std::vector<Fact> facts) const { return words::say({k, std::move(facts)}, style_); }
  void heading(const char* k) { add(paper::Heading{2, key(k)}); }
  void text(const std::string& words, Mark mark = Mark::none, Tone tone = Tone::plain) { add(paper::Paragraph{words, tone, mark}); }
  std::string or_not(const std::string& value) const { return value.empty() ? key("records.not_recorded") : value; }

  void job() {
    std::vector<std::string> crops;
    for (const auto& crop : a_.crops) crops.push_back(crop_name(crop, style_));
    std::string actives;
    for (const auto& active : a_.card.actives)
      actives += (actives.empty() ? "" : ", ") + active.name + (active.content.empty() ? "" : " " + active.content);
    add(paper::Pairs{
        {{key("worksheet.beds"), listed(a_.beds)},
         {key("records.field.crop"), listed(crops)},
         {key("records.field.area"), area_text(a_.area, style_)},
         {key("records.field.product"), a_.card.product},
         {key("records.field.registration"), or_not(a_.card.registration), a_.card.registration.empty()},
         {key("records.field.active"), or_not(actives), actives.empty()},
         {key("records.field.rate"), a_.rate},
         {key("records.field.applicator"), or_not(a_.person), a_.person.empty()},
         {key("records.field.equipment"), or_not(a_.equipment_name), a_.equipment_name.empty()},
         {key("worksheet.nozzle"), or_not(a_.nozzle), a_.nozzle.empty()},
         {key("records.field.reentry_end"),
          a_.entry_from ? say("worksheet.if_ended_now", {{"when", when(a_.stamp.zone, *a_.entry_from)}}) : key("worksheet.see_label"),
          !a_.entry_from},
         {key("records.field.first_harvest"),
          a_.harvest_from ? say("worksheet.if_ended_now", {{"when", when(a_.stamp.zone, *a_.harvest_from)}}) : key("worksheet.see_label"),
          !a_.harvest_from}},
        2});
  }

  /// What the card leaves to a person: each with a box to tick.
  void card() {
    heading("worksheet.before");
    text(key("caution.label_is_law"), Mark::box, Tone::strong);
    text(key("worksheet.measure_wind"), Mark::box);
    text(key("worksheet.put_up_sign"), Mark::box);
    for (const auto& reason : a_.conditions) text(words::say(reason, style_), Mark::box);
  }

  void calibrate_first() {
    std::vector<Fact> facts{{"equipment", or_not(a_.equipment_name)}, {"person", or_not(a_.person)}, {"nozzle", or_not(a_.nozzle)}};
    if (a_.calibration.test)
      facts.push_back({"day", a_.stamp.zone.civil(a_.calibration.test->at).date.iso()});
    else
      facts.push_back({"day", std::string("–")});
    facts.push_back({"days", std::int64_t{spray::catch_test_days}});
    text(words::say({"worksheet.calibrated." + std::string(spray::word_for(a_.calibration.state)), facts}, style_), Mark::no, Tone::strong);
    text(key("worksheet.calibrate_how"));
  }

  void doses() {
    heading("worksheet.doses");
    if (!a_.mixed) return calibrate_first();
    const auto& mixed = *a_.mixed;
    text(say("worksheet.gives", {{"l_ha", Number{a_.calibration.gives->litres_per_hectare(), 0}},
                                 {"gpa", Number{a_.calibration.gives->gallons_per_acre(), 1}},
                                 {"day", a_.stamp.zone.civil(a_.calibration.test->at).date.iso()}}));
    if (a_.other) text(say("worksheet.other_measure", {{"rate", a_.rate}, {"other", rate_text(*a_.other)}}), Mark::none, Tone::small);
    text(say("worksheet.in_all", {{"spray", volume_text(mixed.finished, style_)}, {"product", amount_text(amount(mixed.wanted), style_)}}),
         Mark::none, Tone::strong);
    paper::Table table{
        {{key("worksheet.load"), 0.8}, {key("worksheet.water"), 2.0}, {key("worksheet.product"), 4.6}, {key("worksheet.when_mixed"), 2.0}},
        {},
        9.0};
    for (std::size_t i = 0; i < mixed.loads.size();) {
      const auto& load = mixed.loads[i];
      std::size_t same = 1;
      while (i + same < mixed.loads.size() && std::abs(mixed.loads[i + same].finished.litres() - load.finished.litres()) < 1e-9 &&
             std::abs(mixed.loads[i + same].product - load.product) < 1e-9)
        ++same;
      std::string measured;
      for (const auto& reading : load.readings)
        measured += (measured.empty() ? "" : " " + key("worksheet.or") + " ") + reading_text(reading, style_);
      const std::string numbered = same == 1 ? std::to_string(i + 1) : std::to_string(i + 1) + "–" + std::to_string(i + same);
      table.rows.push_back(
          {{numbered, Tone::strong}, {volume_text(load.water, style_)}, {measured, Tone::strong}, {volume_text(load.finished, style_)}});
      i += same;
    }
    add(std::move(table));
    text(key("spray.mix_label"), Mark::none, Tone::small);
  }

  garden::Amount amount(double base) const {
    return a_.mixed->weighs ? garden::Amount{Mass::grams(base)} : garden::Amount{Volume::litres(base)};
  }

  void order() {
    heading("worksheet.order");
    text(key("worksheet.order_all"));
    if (a_.step)
      text(say("worksheet.order_this",
               {{"formulation", a_.formulation}, {"step", Term{"worksheet.step." + std::string(spray::word_for(*a_.step))}}}),
           Mark::box, Tone::strong);
    else
      text(key("worksheet.order_unknown"), Mark::unknown);
  }

  void water() {
    heading("worksheet.tank_water");
    if (!a_.water_ph) return text(key("worksheet.ph_not_measured"), Mark::unknown);
    for (const auto& one : a_.in_tank) {
      const Fact ph{"ph", Number{*a_.water_ph, 1}}, active{"active", one.active};
      if (one.water == nullptr) {
        text(say("worksheet.ph_nothing", {ph, active}), Mark::unknown);
        continue;
      }
      text(say("worksheet.ph_left", {ph,
                                     active,
                                     {"at_ph", Number{one.water->ph, 1}},
                                     {"half", Number{one.water->low_hours, 0}},
                                     {"hours", Number{a_.hours, 1}},
                                     {"left", Share{one.left}}}),
           one.left < 0.9 ? Mark::no : Mark::none, one.left < 0.9 ? Tone::strong : Tone::plain);
      text(say("worksheet.source", {{"source", one.water->source.citation},
                                    {"known", Term{"worksheet.known." + std::string(pest::word_for(one.water->source.known))}}}),
           Mark::none, Tone::small);
    }
    text(key("worksheet.spray_at_once"), Mark::none, Tone::small);
  }

  void shelf() {
    heading("worksheet.shelf");
    if (a_.shelf.empty()) return text(key("worksheet.shelf_unknown"), Mark::unknown);
    for (const auto& lot : a_.shelf) {
      const std::string name = lot.lot.empty() ? key("shelf.no_lot") : say("shelf.lot", {{"lot", lot.lot}});
      text(say("worksheet.shelf_lot", {{"lot", name}, {"left", amount_text(lot.left, style_)}}),
           lot.negative || lot.expired ? Mark::no : Mark::none);
      if (lot.expired) text(say("shelf.expired", {{"day", lot.expires->iso()}}), Mark::no, Tone::strong);
      if (lot.negative) text(key("shelf.negative"), Mark::no, Tone::strong);
    }
  }

  void wear() {
    heading("worksheet.wear");
    for (const auto& [field, words] : a_.on_card)
      text(say("worksheet.card_says", {{"field", Term{"worksheet.card." + field}}, {"words", words}}));
    text(key("caution.wear"));
    text(key("caution.weather"));
    text(key("caution.bees"));
    text(key("caution.poisoning"), Mark::none, Tone::strong);
  }

  void after() {
    heading("worksheet.after");
    for (const char* k : {"worksheet.rinse", "worksheet.write_down", "caution.disposal"}) text(key(k), Mark::box);
    add(paper::Pairs{{{key("records.field.started"), "______________"},
                      {key("records.field.ended"), "______________"},
                      {key("worksheet.wind_temperature"), "______________"},
                      {key("worksheet.left_over"), "______________"},
                      {key("worksheet.lot_used"), "______________"},
                      {key("worksheet.signed"), "______________"}},
                     2});
    text(key("caution.advice_not_licence"), Mark::none, Tone::small);
  }

  const app::WorksheetAnswer& a_;
  const words::Style& style_;
  paper::Document doc_;
};

}  // namespace

paper::Document worksheet_document(const app::WorksheetAnswer& answer, const words::Style& style) { return Sheet(answer, style).write(); }

}  // namespace leafturn::render
