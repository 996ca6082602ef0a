#include "app/garden_log.hpp"

#include <algorithm>
#include <array>

#include "app/materials.hpp"

namespace leafturn::app {
namespace {

using garden::Application;

const char* word_of(garden::WorkDone::Kind kind) {
  constexpr std::array words{"hand_pick", "crush_eggs", "cover", "uncover", "pull", "water", "release_friends", "clean_up"};
  return words[static_cast<std::size_t>(kind)];
}
const char* word_of(garden::BedEntered::Exception exception) {
  constexpr std::array words{"no_contact", "short_task", "emergency"};
  return words[static_cast<std::size_t>(exception)];
}

class Log {
 public:
  Log(OpenGarden& garden, const garden::Garden& state, const std::map<Digest, label::Card>& cards, const People& people, LogAnswer& out)
      : garden_{garden}, state_{state}, cards_{cards}, people_{people}, out_{out} {}

  void harvests() {
    for (const auto& one : state_.harvests) {
      if (!within(one.at)) continue;
      LogLine line = begin(one);
      line.detail = one.what.detail;
      line.amount = one.what.amount;
      if (one.what.early) line.fate = Term{*one.what.early == garden::HarvestTaken::Early::held ? "log.fate.held" : "log.fate.destroyed"};
      for (const auto* p : state_.standing(line.bed, one.at, out_.stamp.zone.civil(one.at).date))
        if (one.what.planting.empty() || p->sown.planting == one.what.planting) line.crops.push_back(p->sown.crop);
      line.before_wait =
          std::any_of(state_.applications.begin(), state_.applications.end(), [&](const auto& a) { return waits(a, line.bed, one.at); });
      out_.lines.push_back(std::move(line));
    }
  }
  void entries() {
    for (const auto& one : state_.entries) {
      if (!within(one.at)) continue;
      LogLine line = begin(one);
      line.detail = one.what.detail;
      line.stayed = one.what.stayed;
      if (one.what.exception) line.what = Term{std::string("log.exception.") + word_of(*one.what.exception)};
      out_.lines.push_back(std::move(line));
    }
  }
  void work() {
    for (const auto& one : state_.work) {
      if (!within(one.at)) continue;
      LogLine line = begin(one);
      line.detail = one.what.detail;
      line.what = Term{std::string("pages.work.") + word_of(one.what.kind)};
      out_.lines.push_back(std::move(line));
    }
  }

 private:
  bool within(Instant at) const {
    const Date day = out_.stamp.zone.civil(at).date;
    return day >= out_.from && day <= out_.to;
  }
  template <class Said>
  LogLine begin(const garden::Dated<Said>& one) const {
    LogLine line;
    line.at = one.at;
    line.bed = one.what.bed;
    line.by = people_.name(one.by);
    line.amended = one.amended;
    return line;
  }
  /// Still waiting at `at` after a spray in this bed, or not known not to.
  bool waits(const garden::Dated<Application>& a, const std::string& bed, Instant at) const {
    if (a.what.bed != bed || a.what.state != Application::State::made || a.at > at) return false;
    const auto card = a.what.card ? cards_.find(*a.what.card) : cards_.end();
    const auto record =
        records::spray_record(state_, a, card == cards_.end() ? nullptr : &card->second, garden_.library(), out_.stamp.zone);
    const auto* release = state_.release_of(a);
    if (record.outside_label && (release == nullptr || release->at > at)) return true;
    if (!record.harvest_from) return !record.outside_label && at - a.at < Duration::hours(366 * 24);
    return *record.harvest_from > at;
  }

  OpenGarden& garden_;
  const garden::Garden& state_;
  const std::map<Digest, label::Card>& cards_;
  const People& people_;
  LogAnswer& out_;
};

}  // namespace

Result<Stretch> stretch_of(const std::optional<std::string>& from, const std::optional<std::string>& to, Date today) {
  Stretch days{*Date::from_ymd(today.year(), 1, 1), today};
  const auto read = [](const std::optional<std::string>& typed, const char* field, Date& into) -> Status {
    if (!typed) return {};
    const auto day = Date::parse(*typed);
    if (!day) return fail("records.day", {{}, 0, field}, {{"given", *typed}});
    into = *day;
    return {};
  };
  if (const auto good = read(from, "--from", days.from); !good) return fail(good.error());
  if (const auto good = read(to, "--until", days.to); !good) return fail(good.error());
  if (days.to < days.from) return fail("records.days_reversed", {{}, 0, "--until"}, {{"from", days.from.iso()}, {"to", days.to.iso()}});
  return days;
}

Result<LogAnswer> garden_log(OpenGarden& garden, Access& access, const LogQuestion& question, Instant now) {
  const auto all = everything_at(garden, question.at, now);
  if (!all) return fail(all.error());
  const auto days = stretch_of(question.from, question.to, all->stamp.zone.civil(all->at).date);
  if (!days) return fail(days.error());
  LogAnswer answer{all->stamp, question.of, days->from, days->to, {}};
  const auto people = people_of(access);
  if (!people) return fail(people.error());
  Log log(garden, all->garden, all->cards, *people, answer);
  if (question.of == "harvests")
    log.harvests();
  else if (question.of == "entries")
    log.entries();
  else if (question.of == "work")
    log.work();
  else
    return fail("log.no_such", {{}, 0, "--of"}, {{"given", question.of}});
  return answer;
}

}  // namespace leafturn::app
