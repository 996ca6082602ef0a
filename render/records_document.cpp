#include <algorithm>

#include "render/names.hpp"
#include "render/print.hpp"

namespace leafturn::render {
namespace {

using paper::Tone;
using records::Field;
using records::Rule;

std::string rule_name(Rule rule, const words::Style& style) {
  return words::say_key("records.rule." + std::string(records::word_for(rule)), style);
}
std::string label(Field field, const words::Style& style) {
  return words::say_key("records.field." + std::string(records::word_for(field)), style);
}

/// What to show: every field when all rules are asked, else the rule's own and what good practice adds to any.
std::vector<Field> fields_of(const app::RecordsAnswer& answer) {
  std::vector<Field> fields;
  if (answer.rules.size() > 1) {
    for (int i = 0; i < records::field_count; ++i) fields.push_back(static_cast<Field>(i));
    return fields;
  }
  for (const auto& asked : records::asked_by(answer.rules.front())) fields.push_back(asked.field);
  for (const Field more : {Field::reentry_end, Field::pre_harvest, Field::first_harvest, Field::tried, Field::made_on})
    if (std::find(fields.begin(), fields.end(), more) == fields.end()) fields.push_back(more);
  return fields;
}

/// Long ones get the whole width.
bool is_long(Field field) {
  return field == Field::evidence || field == Field::tried || field == Field::why || field == Field::location || field == Field::weather ||
         field == Field::system_plan;
}

class Writer {
 public:
  Writer(const app::RecordsAnswer& answer, const words::Style& style) : answer_{answer}, style_{style} {}

  paper::Document write() {
    std::string title = words::say_key("records.title", style_);
    doc_ = sheet(title, answer_.stamp, style_);
    std::string rules;
    for (const Rule rule : answer_.rules) rules += (rules.empty() ? "" : " · ") + rule_name(rule, style_);
    add(paper::Paragraph{
        say("records.between",
            {{"from", answer_.from.iso()}, {"to", answer_.to.iso()}, {"n", static_cast<std::int64_t>(answer_.sheets.size())}}),
        Tone::strong});
    add(paper::Paragraph{rules});
    if (answer_.sheets.empty()) add(paper::Paragraph{key("records.none")});
    for (const auto& one : answer_.sheets) one_sheet(one);
    add(paper::Line{});
    add(paper::Paragraph{say("records.verify", {{"head", answer_.stamp.head.hex()}}), Tone::small});
    add(paper::Paragraph{key("records.amended_note"), Tone::small});
    add(paper::Paragraph{key("records.law_note"), Tone::small});
    return std::move(doc_);
  }

 private:
  void add(paper::Block block) { doc_.blocks.push_back(std::move(block)); }
  std::string key(const char* k) const { return words::say_key(k, style_); }
  std::string say(const char* k, std::vector<Fact> facts) const { return words::say({k, std::move(facts)}, style_); }
  std::string value(const records::SprayRecord& r, Field f) const { return record_value(r, f, answer_.stamp.zone, style_); }

  void one_sheet(const app::RecordSheet& one) {
    const auto& r = one.record;
    add(paper::Heading{2, say("records.heading", {{"when", when(answer_.stamp.zone, r.ended)}, {"bed", r.bed}, {"product", r.product}}),
                       r.id.text()});
    if (r.outside_label) add(paper::Paragraph{key("records.outside_label"), Tone::strong, paper::Mark::no});
    if (r.restricted) add(paper::Paragraph{key("records.restricted"), Tone::strong});
    if (r.not_judged) add(paper::Paragraph{key("records.not_judged"), Tone::strong, paper::Mark::unknown});
    paper::Pairs brief{{}, 2}, wide{{}, 1};
    for (const Field field : fields_of(answer_))
      (is_long(field) ? wide : brief).pairs.push_back({label(field, style_), value(r, field), !records::known(r, field)});
    if (!brief.pairs.empty()) add(std::move(brief));
    if (!wide.pairs.empty()) add(std::move(wide));
    times(one);
    gaps(one);
    changes(one);
  }

  void times(const app::RecordSheet& one) {
    paper::Table table{{{key("records.due.rule"), 2.2},
                        {key("records.due.make_by"), 1.6},
                        {key("records.due.display"), 2.6},
                        {key("records.due.keep_until"), 1.2}},
                       {},
                       8.0};
    for (const auto& due : one.due) {
      std::string made = due.make_by ? due.make_by->iso() : "–";
      if (due.make_by && due.rule == Rule::eu) made = key("records.due.at_once");
      if (due.electronic_by) made += "; " + say("records.due.electronic", {{"day", due.electronic_by->iso()}});
      const std::string shown =
          due.display_by
              ? say("records.due.shown", {{"from", when(answer_.stamp.zone, *due.display_by)}, {"until", due.display_until->iso()}})
              : "–";
      table.rows.push_back({{rule_name(due.rule, style_)}, {made}, {shown}, {due.keep_until ? due.keep_until->iso() : "–", Tone::strong}});
    }
    add(std::move(table));
  }

  /// Told, not left blank: which rule misses what, where it says so, and what to do.
  void gaps(const app::RecordSheet& one) {
    paper::Table table{
        {{key("records.missing.what"), 1.3}, {key("records.missing.asked"), 1.8}, {key("records.missing.do"), 4.0}}, {}, 8.0};
    for (const Rule rule : answer_.rules)
      for (const auto& asked : records::missing(one.record, rule)) {
        std::string section(asked.section);
        if (asked.where_limited) section += " " + key("records.missing.where_limited");
        table.rows.push_back({{label(asked.field, style_), Tone::strong},
                              {section},
                              {words::say_key("records.do." + std::string(records::word_for(asked.field)), style_)}});
      }
    if (table.rows.empty()) return add(paper::Paragraph{key("records.missing.none"), Tone::plain, paper::Mark::yes});
    add(paper::Heading{3, key("records.missing.title")});
    add(std::move(table));
  }

  void changes(const app::RecordSheet& one) {
    for (const auto& a : one.amendments) {
      const char* code = a.withdrawn ? "records.amendment.withdrawn" : "records.amendment.title";
      add(paper::Heading{3,
                         say(code, {{"when", when(answer_.stamp.zone, a.said)}, {"by", a.by.empty() ? key("records.somebody") : a.by}})});
      add(paper::Paragraph{say("records.amendment.reason", {{"reason", a.reason}})});
      if (a.changes.empty()) continue;
      paper::Table table{
          {{key("records.amendment.field"), 1.3}, {key("records.amendment.before"), 3.0}, {key("records.amendment.after"), 3.0}}, {}, 8.0};
      for (const auto& change : a.changes) {
        const auto shown = [&](const std::string& text) { return text.empty() ? key("records.not_recorded") : text; };
        table.rows.push_back(
            {{phrase("records.said." + change.field, change.field, style_), Tone::strong}, {shown(change.before)}, {shown(change.after)}});
      }
      add(std::move(table));
    }
  }

  const app::RecordsAnswer& answer_;
  const words::Style& style_;
  paper::Document doc_;
};

}  // namespace

paper::Document records_document(const app::RecordsAnswer& answer, const words::Style& style) { return Writer(answer, style).write(); }

}  // namespace leafturn::render
