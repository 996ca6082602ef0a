#include "app/records.hpp"

#include <algorithm>
#include <utility>

#include "app/garden_log.hpp"
#include "app/materials.hpp"
#include "io/event_json.hpp"

namespace leafturn::app {
namespace {

using garden::Application;

Result<std::vector<records::Rule>> rules_of(const std::string& word) {
  if (word == "all") return std::vector<records::Rule>(std::begin(records::all_rules), std::end(records::all_rules));
  const auto rule = records::parse_rule(word);
  if (!rule) return fail("records.no_such_rule", {{}, 0, "--for"}, {{"given", word}});
  return std::vector{*rule};
}

using Fields = std::vector<std::pair<std::string, std::string>>;

Fields with_time(Fields fields, Instant at, const Zone& zone) {
  fields.emplace_back("happened_at", zone.iso(at));
  return fields;
}

std::vector<Change> changes_between(const Fields& before, const Fields& after) {
  const auto value = [](const Fields& fields, const std::string& name) {
    for (const auto& [field, text] : fields)
      if (field == name) return text;
    return std::string{};
  };
  std::vector<Change> found;
  for (const auto& [field, text] : before)
    if (const std::string now = value(after, field); now != text) found.push_back({field, text, now});
  for (const auto& [field, text] : after)
    if (value(before, field).empty() && !text.empty()) found.push_back({field, {}, text});
  return found;
}

/// The entries that amend one, as the ledger received them.
std::vector<Amendment> amendments_of(const std::vector<garden::Recorded>& told, const garden::Recorded& first, const People& people,
                                     const Zone& zone) {
  std::vector<Amendment> found;
  Fields said = with_time(io::fields_of(*garden::saying_of(first.event.payload)), first.event.heading.at(), zone);
  for (const auto& one : told) {
    const auto* amended = std::get_if<garden::Amended>(&one.event.payload);
    if (amended == nullptr || amended->target != first.event.heading.id) continue;
    Amendment a{one.received, people.name(one.event.heading.by), amended->reason, !amended->replacement, {}};
    if (amended->replacement) {
      Fields now = with_time(io::fields_of(*amended->replacement), amended->happened_at.value_or(first.event.heading.at()), zone);
      a.changes = changes_between(said, now);
      said = std::move(now);
    }
    found.push_back(std::move(a));
  }
  return found;
}

const label::Card* card_of(const std::map<Digest, label::Card>& cards, const Application& a) {
  const auto found = a.card ? cards.find(*a.card) : cards.end();
  return found == cards.end() ? nullptr : &found->second;
}

}  // namespace

Result<Stamp> stamp_of(OpenGarden& garden, const garden::Garden& state, Instant at) {
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  Stamp stamp;
  if (state.described) {
    stamp.garden = state.described->name;
    stamp.marked = state.described->marked;
    stamp.units = state.described->units;
  }
  stamp.zone = std::move(*zone);
  stamp.at = at;
  const auto last = garden.ledger().last_seq();
  if (!last) return fail(last.error());
  stamp.events = *last;
  if (*last == 0) return stamp;
  const auto entry = garden.ledger().read(*last, 1);
  if (!entry) return fail(entry.error());
  if (!entry->empty()) stamp.head = entry->front().link;
  return stamp;
}

std::string People::name(const std::string& by) const {
  const auto found = people.find(by);
  return found == people.end() ? by : found->second.name;
}

Result<Everything> everything_at(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  const auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  auto state = garden.garden_at(*asked);
  if (!state) return fail(state.error());
  auto stamp = stamp_of(garden, *state, *asked);
  if (!stamp) return fail(stamp.error());
  auto cards = cards_of(garden, *state);
  if (!cards) return fail(cards.error());
  return Everything{*asked, std::move(*state), std::move(*cards), std::move(*stamp)};
}

Result<People> people_of(Access& access) {
  People all;
  const auto people = access.people();
  if (!people) return fail(people.error());
  for (const auto& person : *people) all.people[person.id.text()] = person;
  auto particulars = access.particulars();
  if (!particulars) return fail(particulars.error());
  all.particulars = std::move(*particulars);
  return all;
}

Result<RecordsAnswer> records(OpenGarden& garden, Access& access, const RecordsQuestion& question, Instant now) {
  const auto all = everything_at(garden, question.at, now);
  if (!all) return fail(all.error());
  const garden::Garden& state = all->garden;
  RecordsAnswer answer;
  answer.stamp = all->stamp;
  const Zone& zone = answer.stamp.zone;
  answer.asked = question.rule;
  auto rules = rules_of(question.rule);
  if (!rules) return fail(rules.error());
  answer.rules = std::move(*rules);
  const auto days = stretch_of(question.from, question.to, zone.civil(all->at).date);
  if (!days) return fail(days.error());
  answer.from = days->from;
  answer.to = days->to;
  if (state.described) answer.jurisdiction = state.described->jurisdiction;
  const auto people = people_of(access);
  if (!people) return fail(people.error());
  std::map<std::string, std::vector<garden::Recorded>> told;
  for (const auto& one : state.applications) {
    const Date day = zone.civil(one.at).date;
    if (one.what.state != Application::State::made || day < days->from || day > days->to) continue;
    RecordSheet sheet;
    sheet.record = records::spray_record(state, one, card_of(all->cards, one.what), garden.library(), zone);
    sheet.record.applicator.name = people->name(one.by);
    if (const auto kept = people->particulars.find(one.by); kept != people->particulars.end()) {
      sheet.record.applicator.certificate = kept->second.certificate;
      sheet.record.applicator.address = kept->second.address;
    }
    const auto first = garden.event(one.id);
    if (!first) return fail(first.error());
    if (*first) {
      sheet.record.written = (*first)->received;
      const std::string bed = std::get<Application>((*first)->event.payload).bed;
      if (!told.contains(bed)) {
        auto events = garden.told_of(bed, SIZE_MAX);
        if (!events) return fail(events.error());
        told[bed] = std::move(*events);
      }
      sheet.amendments = amendments_of(told.at(bed), **first, *people, zone);
    }
    const std::optional<Date> reentry_ends =
        sheet.record.entry_from ? std::optional(zone.civil(*sheet.record.entry_from).date) : std::nullopt;
    const records::Times times{day,  zone.civil(sheet.record.written.value_or(one.at)).date, one.at, reentry_ends, answer.jurisdiction,
                               false};
    for (const records::Rule rule : answer.rules) sheet.due.push_back(records::due(rule, times));
    answer.sheets.push_back(std::move(sheet));
  }
  return answer;
}

}  // namespace leafturn::app
