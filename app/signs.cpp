#include "app/signs.hpp"

#include <algorithm>

#include "app/moment.hpp"
#include "core/decision/clearance.hpp"

namespace leafturn::app {

using garden::Application;

Result<SignsAnswer> signs(OpenGarden& garden, const SignsQuestion& question, Instant now) {
  const auto moment = moment_without_weather(garden, question.at, now);
  if (!moment) return fail(moment.error());
  const garden::Garden& state = moment->garden;
  if (!question.bed.empty() && state.bed(question.bed) == nullptr)
    return fail("garden.no_such_bed", {{}, 0, "--bed"}, {{"bed", question.bed}}, ErrorKind::not_found);
  auto stamp = stamp_of(garden, state, moment->at);
  if (!stamp) return fail(stamp.error());
  SignsAnswer answer{std::move(*stamp), {}};
  for (const auto& bed : state.beds) {
    if (!question.bed.empty() && bed.bed != question.bed) continue;
    for (const auto& a : state.applications) {
      if (a.what.bed != bed.bed || a.what.state == Application::State::cancelled) continue;
      const bool planned = a.what.state == Application::State::planned;
      if (planned && decision::plan_finished(state, a.id)) continue;
      const auto card = a.what.card ? moment->cards.find(*a.what.card) : moment->cards.end();
      Sign sign{records::spray_record(state, a, card == moment->cards.end() ? nullptr : &card->second, garden.library(), moment->zone),
                planned,
                {}};
      const auto& r = sign.record;
      const bool released = r.outside_label && state.release_of(a) != nullptr;
      const bool entry_runs = !r.entry_from || *r.entry_from > moment->at;
      const bool harvest_runs = !r.harvest_from || *r.harvest_from > moment->at;
      // What a card doesn't say is no clearance, but for as long as a year only: the longest a card can say.
      const bool recent = moment->at - a.at < Duration::hours(366 * 24);
      const bool waits = (entry_runs || harvest_runs || r.not_judged || (r.outside_label && !released)) && recent &&
                         !(released && r.entry_from && !entry_runs);
      if (!planned && !waits) continue;
      sign.times = records::sign_times(r.started.value_or(r.ended), r.entry_from);
      answer.signs.push_back(std::move(sign));
    }
  }
  return answer;
}

}  // namespace leafturn::app
