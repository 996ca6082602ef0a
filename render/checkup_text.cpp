#include <algorithm>

#include "render/checkup.hpp"
#include "render/ledger.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string paragraph(const Reason& reason, const words::Style& style, std::size_t indent = 0) {
  return std::string(indent, ' ') + wrapped(words::say(reason, style), page_width, indent) + "\n";
}

template <class List>
Fact count(const char* name, const List& list) {
  return {name, static_cast<std::int64_t>(list.size())};
}

}  // namespace

std::string restored_text(const app::Restored& restored, Instant now, const words::Style& style) {
  std::string out = verification_text(restored.verification, style);
  const garden::Garden& g = restored.garden;
  if (restored.verification.intact) {
    const std::string name = g.described ? g.described->name : std::string{};
    out += paragraph({name.empty() ? "restore.holds_nameless" : "restore.holds",
                      {{"garden", name},
                       count("beds", g.beds),
                       count("plantings", g.plantings),
                       count("counts", g.counts),
                       count("sprays", g.applications),
                       count("harvests", g.harvests)}},
                     style);
    if (restored.last) {
      const auto days = static_cast<std::int64_t>(std::max(0.0, (now - *restored.last).in_days()));
      const std::string last = restored.zone.civil(*restored.last).iso();
      // With the year, and to the minute.
      const std::string minute = last.substr(0, 10) + " " + last.substr(11, 5);
      out += paragraph({"restore.age", {{"last", minute}, {"days", days}}}, style);
    }
    for (const std::string& name_of_text : restored.missing) out += paragraph({"restore.missing", {{"name", name_of_text}}}, style);
    if (restored.guests > 0) out += paragraph({"restore.guests", {{"n", static_cast<std::int64_t>(restored.guests)}}}, style);
  }
  if (!restored.sound()) return out + paragraph({"restore.not_kept", {}}, style);
  if (!restored.has_head) return out + paragraph({"restore.head_missing", {}}, style);
  if (restored.folder.empty()) return out + paragraph({"restore.only_tried", {}}, style);
  return out + paragraph({"restore.restored", {{"folder", restored.folder}}}, style);
}

std::string guests_text(const std::vector<store::Guest>& guests, const words::Style& style) {
  if (guests.empty()) return paragraph({"guests.none", {}}, style);
  std::string out;
  for (const store::Guest& guest : guests)
    out += paragraph({"guests.one", {{"name", guest.name}, {"n", static_cast<std::int64_t>(guest.events)}, {"head", guest.head.hex()}}},
                     style);
  return out;
}

const char* state_word(app::Finding::State state) {
  switch (state) {
    case app::Finding::State::good:
      return "good";
    case app::Finding::State::look:
      return "look";
    case app::Finding::State::bad:
      break;
  }
  return "bad";
}

std::string checkup_text(const app::Checkup& checkup, const words::Style& style) {
  std::string out;
  for (const app::Finding& f : checkup.findings) {
    const std::string state = words::say_key(std::string("doctor.state.") + state_word(f.state), style);
    const std::string check = words::say_key("doctor.check." + f.check, style);
    out += state + ": " + check + "\n" + paragraph(f.text, style, 4);
    if (f.advice) out += paragraph(*f.advice, style, 4);
  }
  return out;
}

}  // namespace leafturn::render
