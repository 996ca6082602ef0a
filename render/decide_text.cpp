#include <algorithm>

#include "core/decision/context.hpp"
#include "core/decision/numbers.hpp"
#include "render/decide.hpp"
#include "render/names.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t line_width = 100;

struct Writer {
  const words::Style& style;
  std::string out;

  std::string say(const Reason& reason) const { return words::say(reason, style); }
  std::string key(const std::string& k) const { return words::say_key(k, style); }
  std::string day(Date d) const { return words::say_fact(d, style); }
  std::string share(double value) const { return words::say_fact(Share{std::clamp(value, 0.0, 1.0)}, style); }
  void paragraph(const std::string& text, std::size_t indent) {
    out += std::string(indent, ' ') + wrapped(text, line_width, indent) + "\n";
  }
  void reasons(const std::vector<Reason>& all, std::size_t indent) {
    for (const Reason& reason : all) paragraph(say(reason), indent);
  }
  template <class Answer>
  void title(const char* code, const Answer& answer) {
    out = say({code, {{"bed", answer.bed}, {"crop", Term{"crop." + answer.crop.value_or("")}}, {"day", answer.day}}}) + "\n";
    if (answer.marked) paragraph(key("brief.marked_invented"), 0);
    if (answer.nothing) paragraph(say(*answer.nothing), 2);
  }

  // What is lost against leaving it, in hundredths: in all units the same kind of figure, and none sharper than it is known.
  void options(const app::PestCompared& p) {
    Table table;
    table.column(key("compare.column.what"));
    table.column(key("compare.column.on"));
    table.column(key("compare.column.saves"), true);
    table.column(key("compare.column.spread"), true);
    if (p.basis.threshold != nullptr) table.column(key("compare.column.over"), true);
    table.column(key("compare.column.minutes"), true);
    for (const decision::Ranked& r : p.comparison.options) {
      const bool known = r.act->order >= 0;
      std::vector<std::string> row{name_of(*r.act, style), day(r.act->on), known ? share(r.share.mean) : "–",
                                   known ? share(r.share.p05) + " – " + share(r.share.p95) : "–"};
      if (p.basis.threshold != nullptr) row.push_back(share(r.p_over));
      row.push_back(r.act->minutes ? std::to_string(*r.act->minutes) : "?");
      table.row(std::move(row));
    }
    out += table.text(4);
  }

  void compared(const app::PestCompared& p) {
    out += "\n" + capital(key("pest." + p.dossier->id + ".name")) + "\n";
    paragraph(say(p.gate.why), 2);
    if (!p.gate.passed) {
      if (p.by_timing.act.empty() && !p.by_timing.look) paragraph(key("advice.leave"), 2);
      std::string names;
      for (const decision::Option& o : p.by_timing.act) names += (names.empty() ? "" : ", ") + (o.card ? o.means : key("means." + o.means));
      if (!names.empty()) paragraph(say({"advice.do", {{"what", names}}}), 2);
      reasons(p.by_timing.why, 2);
      paragraph(key("compare.beside"), 2);
    }
    reasons(p.comparison.why, 2);
    options(p);
    std::vector<std::string> said;
    for (const decision::Act& act : p.acts.refused)
      for (const Reason& why : act.why)
        if (const std::string said_why = say(why), line = said_why.starts_with(act.means) ? said_why : act.means + ": " + said_why;
            std::find(said.begin(), said.end(), line) == said.end()) {
          said.push_back(line);
          paragraph(line, 2);
        }
  }

  std::string plan_name(const decision::PullPlan& plan) const {
    if (plan.first != nullptr) return say({"pull.plan_first", {{"what", name_of(*plan.first, style)}, {"on", plan.on}}});
    return key(plan.cleared ? "pull.plan_cleared" : "pull.plan_left");
  }

  std::string beds(const std::vector<decision::BedRisk>& all, decision::Risk risk) const {
    std::string names;
    for (const decision::BedRisk& b : all)
      if (b.risk == risk) names += (names.empty() ? "" : ", ") + b.receiver->bed;
    return names;
  }

  void ranking(const std::vector<decision::BedRisk>& all, std::size_t indent) {
    bool any = false;
    for (const decision::Risk risk : {decision::Risk::high, decision::Risk::some})
      if (const std::string names = beds(all, risk); !names.empty()) {
        any = true;
        paragraph(say({"pull.risk." + std::string(decision::word_for(risk)), {{"beds", names}}}), indent);
      }
    if (!any) paragraph(key("pull.risk.none"), indent);
  }

  void pulled(const app::PestPulled& p) {
    out += "\n" + capital(key("pest." + p.dossier->id + ".name")) + "\n";
    if (!p.plans.empty() && p.receivers.empty()) paragraph(key("pull.nowhere"), 2);
    if (!p.plans.empty() && !p.receivers.empty()) {
      const decision::PlanRisk& plain = p.answer.plans.front();
      paragraph(plan_name(*plain.plan) + ":", 2);
      ranking(plain.together, 4);
      for (std::size_t way = 0; way < plain.by_way.size(); ++way) {
        const auto movement = std::string(decision::word_for(static_cast<population::Movement>(way)));
        paragraph(say({"pull.way", {{"way", Term{"movement." + movement}}, {"share", Share{p.answer.ways[way]}}}}), 4);
        ranking(plain.by_way[way], 6);
      }
      for (std::size_t i = 1; i < p.answer.plans.size(); ++i) {
        const decision::PlanRisk& plan = p.answer.plans[i];
        paragraph(plan_name(*plan.plan) + ": " +
                      say({"pull.against",
                           {{"share", Share{plan.against_plain.mean}},
                            {"low", Share{plan.against_plain.p05}},
                            {"high", Share{plan.against_plain.p95}}}}),
                  2);
        ranking(plan.together, 4);
      }
      paragraph(say({"pull.least", {{"what", plan_name(*p.answer.plans[p.answer.least].plan)}}}), 2);
    }
    paragraph(key("pull.knows_title"), 2);
    reasons(p.knows, 4);
    paragraph(key("pull.cannot_title"), 2);
    reasons(p.cannot_know, 4);
  }
};

}  // namespace

std::string name_of(const decision::Act& act, const words::Style& style) {
  return act.card ? act.means : words::say_key("means." + act.means, style);
}

std::string compare_text(const app::CompareAnswer& answer, const words::Style& style) {
  Writer w{style, {}};
  w.title("compare.title", answer);
  for (const app::PestCompared& p : answer.pests) w.compared(p);
  if (!answer.pests.empty()) w.paragraph("\n" + w.key("compare.caution"), 0);
  return std::move(w.out);
}

std::string pull_text(const app::PullAnswer& answer, const words::Style& style) {
  Writer w{style, {}};
  w.title("pull.title", answer);
  if (!answer.past_harvest) w.paragraph(w.key("pull.not_past"), 2);
  for (const app::PestPulled& p : answer.pests) w.pulled(p);
  if (!answer.pests.empty()) w.paragraph("\n" + w.key("compare.caution"), 0);
  return std::move(w.out);
}

}  // namespace leafturn::render
