#include <fmt/core.h>

#include <algorithm>

#include "render/board.hpp"
#include "render/brief.hpp"
#include "render/cautions.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t line_width = 100;

// Words wrapped to the width, later lines indented.
void wrap(std::string& out, std::string_view text, std::size_t indent, std::string_view first) {
  std::string line(first);
  line.resize(std::max(line.size(), indent), ' ');
  std::size_t used = indent;
  while (!text.empty()) {
    const std::size_t space = text.find(' ');
    const std::string_view word = text.substr(0, space);
    text = space == std::string_view::npos ? std::string_view{} : text.substr(space + 1);
    const auto letters = static_cast<std::size_t>(
        std::count_if(word.begin(), word.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
    if (used + letters + 1 > line_width && used > indent) {
      out += line + "\n";
      line.assign(indent, ' ');
      used = indent;
    }
    if (used > indent) {
      line += ' ';
      ++used;
    }
    line += word;
    used += letters;
  }
  out += line + "\n";
}

struct Writer {
  const app::BriefAnswer& answer;
  const words::Style& style;
  std::string out;

  std::string key(const std::string& k) const { return words::say_key(k, style); }
  void heading(const std::string& k) { out += "\n" + key(k) + "\n"; }

  void visit(const decision::Visit& v, const std::string& number) {
    const Reason line{"brief.walk_line",
                      {{"bed", v.bed},
                       {"plants", std::int64_t{v.plants}},
                       {"place", Term{"place." + v.place}},
                       {"what", Term{"stage." + v.stage}},
                       {"minutes", std::int64_t{v.minutes}}}};
    wrap(out, words::say(line, style), 4, "  " + number);
    wrap(out, words::say(v.why, style), 4, "");
    const std::string look = "pest." + v.pest + ".look." + v.look;
    if (words::has_key(look, style.language)) wrap(out, key(look), 4, "");
  }

  void spray(const decision::Option& o) {
    wrap(out, o.means + ": " + (o.judgement ? key("verdict." + std::string(label::word_for(o.judgement->verdict))) : std::string{}), 13,
         "           - ");
    if (!o.judgement) return;
    // Once refused or unknown, what else the card asks for is beside the point.
    const label::State worst = o.judgement->outcomes.empty() ? label::State::pass : o.judgement->outcomes.front().state;
    for (const auto& outcome : o.judgement->outcomes)
      if (outcome.state == worst && worst != label::State::pass) wrap(out, words::say(outcome.reason, style), 15, "");
  }

  void bed(const decision::BedBrief& b) {
    wrap(out, words::say(b.headline, style), 9, "  " + key("urgency." + std::string(decision::word_for(b.urgency))));
    for (const Reason& act : b.act) wrap(out, words::say(act, style), 13, "         → ");
    for (const auto& p : b.pests)
      if (b.urgency <= decision::Urgency::look && &p == &b.pests.front())
        for (const Reason& why : p.why) wrap(out, words::say(why, style), 11, "");
    for (const auto& o : b.options)
      if (o.card) spray(o);
    if (std::any_of(b.refused.begin(), b.refused.end(), [](const auto& o) { return !o.stages.empty(); })) {
      wrap(out, key("brief.refused_title") + ":", 11, "");
      for (const auto& o : b.refused)
        if (!o.stages.empty()) spray(o);
    }
  }

  void board_lines() {
    const auto lines = board(answer);
    std::size_t widest = 3;
    for (const BoardLine& l : lines) widest = std::max(widest, l.bed.size());
    for (const BoardLine& l : lines) {
      const std::string pick = key("board.pick_" + std::string(word_for(l.pick)));
      const std::string enter = key("board.enter_" + std::string(word_for(l.enter)));
      std::string text = pick + " · " + enter;
      for (const Reason& why : l.why) text += " · " + words::say(why, style);
      wrap(out, text, widest + 4, "  " + l.bed);
    }
  }
};

}  // namespace

std::string basis_sentence(const decision::Brief& brief, const words::Style& style) {
  Terms learned;
  for (const auto& bed : brief.beds)
    for (const auto& p : bed.pests) {
      const Term name{"pest." + p.pest + ".name"};
      const bool told = std::find(learned.keys.begin(), learned.keys.end(), name) != learned.keys.end();
      if (p.basis == decision::Basis::population && !told) learned.keys.push_back(name);
    }
  if (learned.keys.empty()) return words::say_key("brief.basis_timing", style);
  return words::say({"brief.basis_learned", {{"pests", std::move(learned)}}}, style);
}

std::string brief_text(const app::BriefAnswer& answer, const pest::Library&, const words::Style& style) {
  Writer w{answer, style, {}};
  const decision::Brief& b = answer.brief;
  w.out = words::say({"brief.title", {{"garden", b.garden}, {"day", b.day}}}, style) + "\n";
  if (b.marked) wrap(w.out, w.key("brief.marked_invented"), 0, "");
  if (!b.walk.empty()) w.heading("brief.walk_title");
  int number = 0;
  for (const auto& v : b.walk) w.visit(v, std::to_string(++number));
  if (b.deciding_count) {
    w.heading("count.deciding_title");
    w.visit(*b.deciding_count, " ");
  }
  w.heading("brief.beds_title");
  for (const auto& bed : b.beds)
    if (bed.urgency <= decision::Urgency::look) w.bed(bed);
  if (!b.leave.empty()) w.heading("brief.leave_title");
  for (const auto& l : b.leave) wrap(w.out, words::say(l.why, style), 2, "");
  w.heading("brief.board_title");
  w.board_lines();
  w.heading("brief.notes_title");
  wrap(w.out, basis_sentence(b, style), 2, "");
  for (const auto& note : b.notes) wrap(w.out, words::say(note, style), 2, "");
  for (const auto& caution : cautions(answer, style)) wrap(w.out, caution, 2, "");
  return std::move(w.out);
}

}  // namespace leafturn::render
