#include <algorithm>

#include "core/decision/context.hpp"
#include "render/outlook.hpp"
#include "render/outlook_says.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t line_width = 100;
constexpr double worth_saying = 0.05;

struct Writer {
  const app::OutlookAnswer& answer;
  const words::Style& style;
  std::string out;

  std::string say(const Reason& reason) const { return words::say(reason, style); }
  std::string key(const std::string& k) const { return words::say_key(k, style); }
  void paragraph(const std::string& text, std::size_t indent) {
    out += std::string(indent, ' ') + wrapped(text, line_width, indent) + "\n";
  }
  void heading(const std::string& k) { out += "\n" + key(k) + "\n"; }

  std::string when(int days) const {
    if (days == 0) return key("outlook.today");
    return days == 1 ? key("outlook.tomorrow") : say({"outlook.in_days", {{"n", std::int64_t{days}}}});
  }
  // The middle and nine tenths.
  std::string numbers(const char* code, const decision::Spread& s, const Term& pest, const std::string& stage, int days) const {
    return say({code,
                {{"pest", pest},
                 {"mean", about(s.p50)},
                 {"low", about(s.p05)},
                 {"high", about(s.p95)},
                 {"stage", Term{"stage." + stage}},
                 {"when", when(days)}}});
  }

  void pest(const app::PestInBed& p) {
    const pest::Dossier& dossier = *answer.pests[p.pest].dossier;
    std::string line;
    for (const int ahead : {0, 7, 14}) {
      const auto day = std::find_if(p.days.begin(), p.days.end(), [&](const auto& d) { return d.date == answer.day + Days{ahead}; });
      if (day == p.days.end() || !day->counted) continue;
      line += (line.empty() ? "" : ", ") + numbers(line.empty() ? p.counts > 0 ? "outlook.now" : "outlook.now_uncounted" : "outlook.later",
                                                   *day->counted, decision::pest_term(dossier), p.target.word, ahead);
    }
    if (line.empty()) line = say({"outlook.until_gone", {}});
    paragraph(line + (line.back() == '.' ? "" : "."), 2);
    const auto riskiest = std::max_element(p.days.begin(), p.days.end(),
                                           [](const auto& a, const auto& b) { return a.p_over.value_or(0.0) < b.p_over.value_or(0.0); });
    if (riskiest != p.days.end() && riskiest->p_over.value_or(0.0) >= worth_saying)
      paragraph(say({"outlook.likely_over",
                     {{"share", Share{*riskiest->p_over}},
                      {"threshold", decision::as_published(p.threshold->value.value)},
                      {"when", when((riskiest->date - answer.day).count)}}}),
                4);
    if (p.counts == 0) return;  // what isn't known of it is the same in every bed nobody counted
    Terms unknown;
    for (std::size_t u = 0; u < population::unknown_count; ++u)
      if (!p.learned[u].learned)
        unknown.keys.push_back({"unknown." + std::string(decision::word_for(static_cast<population::Unknown>(u)))});
    if (!unknown.keys.empty()) paragraph(say({"outlook.not_learned", {{"what", std::move(unknown)}}}), 4);
  }

  void beds() {
    for (const app::OutlookBed& bed : answer.beds) {
      if (bed.pests.empty()) continue;
      const std::string crop = bed.crop ? "crop." + *bed.crop : "crop." + bed.pests.front().crop;
      out += "\n" + say({"outlook.bed", {{"bed", bed.bed}, {"crop", Term{crop}}}}) + "\n";
      for (const app::PestInBed& p : bed.pests) pest(p);
    }
  }

  void asks() {
    if (!answer.asked) return;
    heading("outlook.asks_title");
    for (const app::Answered& a : answer.asks) {
      const auto& e = a.expected;
      const auto count = [](std::int64_t n) { return about(static_cast<double>(n)); };
      paragraph(say({"outlook.ask",
                     {{"bed", a.ask.bed},
                      {"pest", decision::pest_term(*a.ask.dossier)},
                      {"stage", Term{"stage." + pest::label_for(*a.ask.dossier, pest::stages_for(*a.ask.dossier, a.ask.stage))}},
                      {"plants", std::int64_t{a.ask.plants}},
                      {"when", words::say_fact(answer.zone.civil(a.ask.time), style)},
                      {"mean", count(e.quantile(0.5))},
                      {"low", count(e.quantile(0.05))},
                      {"high", count(e.quantile(0.95))}}}),
                2);
      if (answer.pests[a.pest].counts == 0) paragraph(say({"outlook.ask_no_counts", {{"pest", decision::pest_term(*a.ask.dossier)}}}), 4);
    }
  }

  void rests_on() {
    heading("brief.notes_title");
    if (answer.no_numbers) paragraph(say(*answer.no_numbers), 2);
    for (const app::OutlookPest& p : answer.pests)
      if (p.counts > 0) paragraph(say(p.gate.why), 2);
    if (!answer.pests.empty()) paragraph(key("outlook.intervals") + " " + key("outlook.from_other_beds"), 2);
    Terms silent;
    for (const app::NotCounted& p : answer.not_counted)
      if (!p.beds.empty()) silent.keys.push_back(decision::pest_term(*p.dossier));
    if (!silent.keys.empty()) paragraph(say({"outlook.no_numbers", {{"pests", std::move(silent)}}}), 2);
    for (const Reason& note : answer.weather.notes) paragraph(say(note), 2);
  }

  void left_out() {
    std::vector<Reason> all;
    for (const app::OutlookPest& p : answer.pests) all.insert(all.end(), p.left_out.begin(), p.left_out.end());
    for (const app::NotCounted& p : answer.not_counted) all.insert(all.end(), p.left_out.begin(), p.left_out.end());
    if (all.empty()) return;
    heading("outlook.left_out_title");
    for (const Reason& reason : all) paragraph(say(reason), 2);
  }
};

}  // namespace

std::string outlook_text(const app::OutlookAnswer& answer, const words::Style& style) {
  Writer w{answer, style, {}};
  const auto& described = answer.garden.described;
  w.out = w.say({"outlook.title", {{"garden", described ? described->name : std::string{}}, {"day", answer.day}}}) + "\n";
  if (described && described->marked) w.paragraph(w.key("brief.marked_invented"), 0);
  w.beds();
  w.asks();
  w.left_out();
  w.rests_on();
  return std::move(w.out);
}

}  // namespace leafturn::render
