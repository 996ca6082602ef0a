#include "app/record.hpp"

#include <algorithm>
#include <limits>
#include <utility>

#include "app/entropy.hpp"
#include "app/materials.hpp"
#include "core/decision/proposal.hpp"
#include "io/event_json.hpp"

namespace leafturn::app {
namespace {

using garden::Application;
using label::Verdict;

Result<TreatAnswer> judge_bed(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const TreatQuestion& question) {
  if (state.bed(question.bed) == nullptr) return fail("garden.no_such_bed", {{}, 0, "bed"}, {{"bed", question.bed}});
  const garden::Dated<garden::CardCopied>* copied = nullptr;
  for (const auto& c : state.cards)
    if (c.what.product == question.product) copied = &c;
  if (copied == nullptr) return fail("treat.no_such_card", {{}, 0, "product"}, {{"product", question.product}}, ErrorKind::not_found);
  auto cards = cards_of(garden, state);
  if (!cards) return fail(cards.error());
  TreatAnswer answer;
  answer.card_digest = copied->what.text;
  answer.card = cards->at(copied->what.text);
  std::optional<label::ProductRate> rate;
  if (!question.rate.empty()) {
    auto parsed = label::parse_rate(question.rate);
    if (!parsed) {
      parsed.error().where.field = "rate";
      return fail(parsed.error());
    }
    rate = *parsed;
  }
  const CivilTime on = zone.civil(question.on);
  for (const garden::Planting* p : state.standing(question.bed, question.on, on.date)) {
    const auto proposal = decision::proposal_for(state, zone, *p, question.on, rate);
    answer.plantings.push_back({p->sown.planting, p->sown.crop, label::judge(answer.card, proposal, garden.library())});
  }
  std::stable_sort(answer.plantings.begin(), answer.plantings.end(),
                   [](const auto& a, const auto& b) { return decision::severity(a.judgement.verdict) > decision::severity(b.judgement.verdict); });
  return answer;
}

// What is known now, whenever it happened: checks and judgements look at the garden as it stands in the ledger.
constexpr Instant end_of_time = Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2);

Result<std::optional<label::Judgement>> judge_application(OpenGarden& garden, const garden::Event& event) {
  const auto* application = std::get_if<Application>(&event.payload);
  if (application == nullptr || application->state == Application::State::cancelled) return std::nullopt;
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto state = garden.garden_at(end_of_time);
  if (!state) return fail(state.error());
  auto answer = judge_bed(garden, *state, *zone, {application->bed, application->product, application->rate, event.heading.happened_at});
  if (!answer) {
    // A spray already made without any card is written as it was, outside the label.
    if (answer.error().code == "treat.no_such_card" && application->state == Application::State::made && application->outside_label) return std::nullopt;
    return fail(answer.error());
  }
  if (answer->plantings.empty()) return fail("treat.bed_empty", {{}, 0, "bed"}, {{"bed", application->bed}});
  if (application->card && *application->card != answer->card_digest)
    return fail("treat.card_changed", {{}, 0, "card"}, {{"product", application->product}}, ErrorKind::conflict);
  if (!application->card) return fail("treat.card_not_named", {{}, 0, "card"}, {{"product", application->product}});
  return std::optional{answer->plantings.front().judgement};
}

Error refusal(const label::Judgement& judgement, const Application& application) {
  const bool refused = judgement.verdict == Verdict::refused;
  Error error{refused ? "treat.refused" : "treat.unknown", {}, {{"product", application.product}, {"bed", application.bed}}, ErrorKind::bad_input};
  if (!judgement.outcomes.empty()) error.where.field = judgement.outcomes.front().card_field;
  return error;
}

Result<RecordOutcome> append(OpenGarden& garden, const garden::Event& event, std::string bytes, Instant now) {
  RecordOutcome outcome;
  auto judgement = judge_application(garden, event);
  if (!judgement) return fail(judgement.error());
  if (*judgement) {
    const auto& application = std::get<Application>(event.payload);
    const bool may = decision::may_go_ahead((*judgement)->verdict);
    const bool told_outside = application.outside_label && application.state == Application::State::made;
    if (!may && !told_outside) return fail(refusal(**judgement, application));
    outcome.judgement = std::move(**judgement);
  }
  const store::Envelope envelope{event.heading.id, event.heading.writer, event.heading.writer_seq, event.heading.happened_at, std::move(bytes)};
  auto receipts = garden.ledger().append({&envelope, 1}, now);
  if (!receipts) return fail(receipts.error());
  outcome.receipt = receipts->front();
  return outcome;
}

}  // namespace

Result<RecordOutcome> record(OpenGarden& garden, std::string_view bytes, Instant now) {
  auto event = io::decode_event(bytes);
  if (!event) return fail(event.error());
  const auto one_at_a_time = garden.lock_writing();
  auto events = garden.events();
  if (!events) return fail(events.error());
  // Sent again because the answer got lost: the same receipt, without judging a second time.
  const bool had = std::any_of((*events)->begin(), (*events)->end(), [&](const auto& r) { return r.event.heading.id == event->heading.id; });
  if (had) {
    const store::Envelope envelope{event->heading.id, event->heading.writer, event->heading.writer_seq, event->heading.happened_at, std::string(bytes)};
    auto receipts = garden.ledger().append({&envelope, 1}, now);
    if (!receipts) return fail(receipts.error());
    return RecordOutcome{receipts->front(), {}};
  }
  if (auto sensible = garden::check(garden::fold(**events, end_of_time), *event, now); !sensible) return fail(sensible.error());
  return append(garden, *event, std::string(bytes), now);
}

Result<RecordOutcome> record_saying(OpenGarden& garden, const garden::Payload& payload, const std::string& writer, const std::string& by,
                                    Instant happened_at, Instant now) {
  auto events = garden.events();
  if (!events) return fail(events.error());
  std::uint64_t last = 0;
  for (const auto& r : **events)
    if (r.event.heading.writer == writer) last = std::max(last, r.event.heading.writer_seq);
  const garden::Event event{{fresh_id(now), writer, last + 1, happened_at, by}, payload};
  return record(garden, io::encode_event(event), now);
}

Result<TreatAnswer> may_treat(OpenGarden& garden, const TreatQuestion& question) {
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto state = garden.garden_at(end_of_time);
  if (!state) return fail(state.error());
  return judge_bed(garden, *state, *zone, question);
}

}  // namespace leafturn::app
