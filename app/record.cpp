#include "app/record.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "app/entropy.hpp"
#include "app/judge_event.hpp"
#include "io/event_json.hpp"

namespace leafturn::app {
namespace {

using garden::Application;

/// A judgement as an event: at the application's own time, so that it is known whenever the application is.
garden::Event judgement_event(const garden::Chronicle& chronicle, const garden::ApplicationJudged& settled, Instant at, Instant now) {
  const std::string judge = "judge";
  return {{fresh_id(now), judge, chronicle.last_of(judge) + 1, at, {}}, settled};
}

store::Envelope envelope_of(const garden::Event& event, std::string bytes) {
  const garden::Heading& h = event.heading;
  return {h.id, h.writer, h.writer_seq, h.happened_at, std::move(bytes)};
}

/// What an application that is there already was judged to be.
std::optional<garden::ApplicationJudged> judged_before(const garden::Chronicle& chronicle, const garden::Event& event) {
  const auto* application = std::get_if<Application>(&event.payload);
  if (application == nullptr || !application->not_judged) return std::nullopt;
  const garden::Garden state = chronicle.at(end_of_time);
  for (const auto& a : state.applications)
    if (a.id == event.heading.id)
      if (const auto* judged = state.judgement_of(a); judged != nullptr) return judged->what;
  return std::nullopt;
}

/// What changes the clock or looks back into the ledger is judged and written by itself.
bool alone(const garden::Event& event) {
  return std::holds_alternative<garden::GardenDescribed>(event.payload) || std::holds_alternative<garden::Amended>(event.payload);
}

}  // namespace

struct Writing {
  garden::Event event;
  store::Envelope envelope;
  Instant now;
  std::optional<Result<RecordOutcome>> answer;
};

namespace {

/// One round at the desk: events judged one after the other, each against the garden with those before it, and written in one commit.
class Round {
 public:
  explicit Round(OpenGarden& garden) : garden_{garden} {}

  /// Takes as many as go together, from the first on.
  Status judge(std::span<Writing* const> waiting) {
    auto chronicle = garden_.chronicle();
    if (!chronicle) return fail(chronicle.error());
    after_ = chronicle->last_seq();
    for (Writing* writing : waiting) {
      if (!batch_.empty() && (alone(writing->event) || alone(taken_.back().writing->event))) break;
      if (auto taken = take(*writing, *chronicle); !taken) return taken;
    }
    return {};
  }
  /// Writes what was let through and answers everyone taken. False: another program wrote in between, and nobody was answered.
  bool write() {
    Result<std::vector<store::Receipt>> receipts = std::vector<store::Receipt>{};
    if (!batch_.empty()) receipts = garden_.ledger().append(batch_, latest_, after_);
    if (!receipts && receipts.error().code == "ledger.moved_on") return false;
    for (Taken& taken : taken_) {
      if (receipts)
        taken.writing->answer = RecordOutcome{(*receipts)[taken.place], std::move(taken.judged.judgement), std::move(taken.judged.settled)};
      else
        taken.writing->answer = fail(receipts.error());
    }
    // Refused beside events that were then not written: perhaps because of them.
    for (auto& [writing, error, place] : refused_) writing->answer = fail(receipts || place == 0 ? error : receipts.error());
    return true;
  }

 private:
  Status take(Writing& writing, garden::Chronicle& chronicle) {
    const Id& id = writing.event.heading.id;
    Judged outcome;
    std::optional<garden::Event> settled;
    // Sent again because the answer got lost: the same receipt, without judging a second time.
    const auto had = garden_.ledger().find(id);
    if (!had) return fail(had.error());
    const bool in_batch = std::any_of(batch_.begin(), batch_.end(), [&](const auto& envelope) { return envelope.id == id; });
    if (!*had && !in_batch) {
      auto judged = judge_event(garden_, chronicle, writing.event, writing.now);
      if (!judged) {
        refused_.push_back({&writing, judged.error(), batch_.size()});
        return {};
      }
      outcome = std::move(*judged);
      if (outcome.settled) settled = judgement_event(chronicle, *outcome.settled, outcome.at, writing.now);
      if (!alone(writing.event)) {
        chronicle.add({chronicle.last_seq() + 1, writing.now, writing.event});
        if (settled) chronicle.add({chronicle.last_seq() + 1, writing.now, *settled});
        chronicle.settle();
      }
    } else {
      outcome.settled = judged_before(chronicle, writing.event);
    }
    taken_.push_back({&writing, batch_.size(), std::move(outcome)});
    batch_.push_back(writing.envelope);
    if (settled) batch_.push_back(envelope_of(*settled, io::encode_event(*settled)));
    latest_ = std::max(latest_, writing.now);
    return {};
  }

  struct Taken {
    Writing* writing;
    std::size_t place;  ///< in the batch
    Judged judged;
  };
  struct Refused {
    Writing* writing;
    Error error;
    std::size_t place;  ///< how many had been let through before
  };
  OpenGarden& garden_;
  std::uint64_t after_ = 0;
  Instant latest_ = Instant::from_unix_microseconds(0);
  std::vector<store::Envelope> batch_;
  std::vector<Taken> taken_;
  std::vector<Refused> refused_;
};

void judge_and_write(OpenGarden& garden, std::span<Writing* const> writings) {
  // Another program on the same file isn't held by our turns; what it wrote in between is judged with.
  constexpr int most_tries = 20;
  for (int tries = 1;;) {
    std::vector<Writing*> waiting;
    for (Writing* writing : writings)
      if (!writing->answer) waiting.push_back(writing);
    if (waiting.empty()) return;
    Round round(garden);
    const Status judged = round.judge(waiting);
    if (judged && round.write()) continue;
    if (judged && ++tries <= most_tries) continue;
    const Error error = judged ? Error{"ledger.moved_on", {}, {}, ErrorKind::conflict} : judged.error();
    for (Writing* writing : waiting) writing->answer = fail(error);
  }
}

}  // namespace

Result<RecordOutcome> record(OpenGarden& garden, std::string_view bytes, Instant now) {
  auto event = io::decode_event(bytes);
  if (!event) return fail(event.error());
  if (std::holds_alternative<garden::ApplicationJudged>(event->payload)) return fail("treat.judged_here", {{}, 0, "kind"});
  const bool card = std::holds_alternative<garden::CardCopied>(event->payload);
  store::Envelope envelope = envelope_of(*event, std::string(bytes));
  Writing writing{std::move(*event), std::move(envelope), now, {}};
  garden.desk().run(writing, [&](std::span<Writing* const> writings) { judge_and_write(garden, writings); });
  // A card just copied may be the one an application waits for. Should that fail, the card is written all the same and the bed closed.
  if (card && *writing.answer) (void)judge_waiting(garden, now);
  return std::move(*writing.answer);
}

Result<std::size_t> judge_waiting(OpenGarden& garden, Instant now) {
  std::size_t settled = 0;
  for (std::set<Id> asked;;) {
    auto chronicle = garden.chronicle();
    if (!chronicle) return fail(chronicle.error());
    garden::Garden state = chronicle->at(end_of_time);
    const auto waiting = std::find_if(state.applications.begin(), state.applications.end(),
                                      [&](const auto& a) { return state.awaits_judgement(a) && !asked.contains(a.id); });
    if (waiting == state.applications.end()) return settled;
    const garden::Dated<Application> application = *waiting;
    asked.insert(application.id);
    erase_if(state.applications, [&](const auto& a) { return a.id == application.id; });
    const Judged judged = settle_unjudged(garden, state, application.what, application.id, application.at);
    if (!judged.settled) continue;
    const garden::Event event = judgement_event(*chronicle, *judged.settled, application.at, now);
    const store::Envelope envelope = envelope_of(event, io::encode_event(event));
    const auto receipts = garden.ledger().append({&envelope, 1}, now, chronicle->last_seq());
    if (receipts)
      ++settled;
    else if (receipts.error().code == "ledger.moved_on")
      asked.erase(application.id);  // somebody wrote in between: judged against what is there now
    else
      return fail(receipts.error());
  }
}

Result<RecordOutcome> record_saying(OpenGarden& garden, const garden::Payload& payload, const std::string& writer, const std::string& by,
                                    Instant happened_at, Instant now) {
  const auto chronicle = garden.chronicle();
  if (!chronicle) return fail(chronicle.error());
  const garden::Event event{{fresh_id(now), writer, chronicle->last_of(writer) + 1, happened_at, by}, payload};
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
