#include "app/record.hpp"

#include <algorithm>
#include <limits>
#include <set>
#include <utility>

#include "app/entropy.hpp"
#include "app/keep.hpp"
#include "app/materials.hpp"
#include "core/decision/surroundings.hpp"
#include "io/card_toml.hpp"
#include "io/event_json.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

using garden::Application;
using label::Verdict;

/// Which text of a card a question rests on. A plan rests on the card in use; what was made on the one it names, if that was in use then.
const Digest* card_for(const garden::Garden& state, const std::string& product, Instant on, const std::optional<Digest>& named) {
  const Digest* latest = nullptr;
  const Digest* then = nullptr;
  for (const auto& c : state.cards) {
    if (c.what.product != product) continue;
    latest = &c.what.text;
    if (c.at <= on) then = &c.what.text;
  }
  return named && then != nullptr && *named == *then ? then : latest;
}

/// Cards name pests by EPPO code; a pest without one can't be on a card by name.
std::string code_of(const pest::Library& library, const std::string& pest) {
  const auto* dossier = library.pest(pest);
  return dossier == nullptr || dossier->eppo.empty() ? pest : dossier->eppo;
}

void add_facts(label::Proposal& proposal, const TreatFacts& facts) {
  proposal.method = facts.method;
  proposal.handler = facts.handler;
  proposal.produce = facts.produce;
  proposal.agency = facts.agency;
  proposal.organic = facts.organic;
  proposal.enclosed = facts.enclosed;
  proposal.growth_stage = facts.growth_stage;
  proposal.nearest_person = facts.nearest_person;
  proposal.release_height = facts.release_height;
  proposal.droplets = facts.droplets;
  proposal.water = facts.water;
  if (facts.bloom) proposal.bloom = std::vector<label::BloomLook>{*facts.bloom};
}

Result<TreatAnswer> judge_bed(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const TreatQuestion& question,
                              const std::optional<Digest>& named = {}) {
  if (state.bed(question.bed) == nullptr) return fail("garden.no_such_bed", {{}, 0, "bed"}, {{"bed", question.bed}});
  const Digest* digest = card_for(state, question.product, question.on, named);
  if (digest == nullptr) return fail("treat.no_such_card", {{}, 0, "product"}, {{"product", question.product}}, ErrorKind::not_found);
  auto cards = cards_of(garden, state);
  if (!cards) return fail(cards.error());
  const auto card = cards->find(*digest);
  if (card == cards->end()) return fail("ledger.no_such_blob", {{}, 0, "card"}, {{"blob", digest->hex()}}, ErrorKind::not_found);
  TreatAnswer answer;
  answer.card_digest = *digest;
  answer.card = card->second;
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
    auto proposal = decision::proposal_for(state, zone, *p, question.on, rate);
    decision::add_surroundings(proposal, state, zone, *p, question.on, answer.card, *cards);
    if (!question.pest.empty()) proposal.pest = code_of(garden.library(), question.pest);
    add_facts(proposal, question.facts);
    answer.plantings.push_back({p->sown.planting, p->sown.crop, label::judge(answer.card, proposal, garden.library())});
  }
  std::stable_sort(answer.plantings.begin(), answer.plantings.end(), [](const auto& a, const auto& b) {
    return decision::severity(a.judgement.verdict) > decision::severity(b.judgement.verdict);
  });
  return answer;
}

// What is known now, whenever it happened: checks and judgements look at the garden as it stands in the ledger.
constexpr Instant end_of_time = Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2);

bool told_outside(const Application& a) { return a.outside_label && a.state == Application::State::made; }

Result<label::Judgement> judged_by_card(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const Application& a,
                                        Instant at) {
  const auto named = a.state == Application::State::made ? a.card : std::nullopt;
  auto answer = judge_bed(garden, state, zone, {a.bed, a.product, rate_judged(a), at, a.pest, {}}, named);
  if (!answer) return fail(answer.error());
  if (answer->plantings.empty()) return fail("treat.bed_empty", {{}, 0, "bed"}, {{"bed", a.bed}});
  if (!a.card) return fail("treat.card_not_named", {{}, 0, "card"}, {{"product", a.product}});
  if (*a.card != answer->card_digest) return fail("treat.card_changed", {{}, 0, "card"}, {{"product", a.product}}, ErrorKind::conflict);
  return answer->plantings.front().judgement;
}

Error refusal(const label::Judgement& judgement, const Application& application);

/// What judging an event came to.
struct Judged {
  std::optional<label::Judgement> judgement;
  std::optional<garden::ApplicationJudged> settled;  ///< to be written down with it
  Instant at;                                        ///< of the application that was settled
};

bool made_unjudged(const Application& a) { return a.state == Application::State::made && a.not_judged && !a.outside_label; }

/// What the card says at last of a spray written down where it couldn't be asked. Nothing settled when it can't be asked now either.
Judged settle(OpenGarden& garden, const garden::Garden& state, const Application& a, const Id& id, Instant at) {
  const auto zone = garden.zone();
  if (!zone) return {};
  auto judgement = judged_by_card(garden, state, *zone, a, at);
  if (!judgement && judgement.error().kind == ErrorKind::cannot) return {};
  garden::ApplicationJudged settled{garden::ApplicationJudged::Verdict::outside_label, id, a.bed, a.card, {}};
  if (!judgement)
    settled.rule = judgement.error().code;
  else if (decision::may_go_ahead(judgement->verdict))
    settled.verdict = garden::ApplicationJudged::Verdict::within_label;
  else if (!judgement->outcomes.empty())
    settled.rule = std::string{label::word_for(judgement->outcomes.front().rule)};
  return {judgement ? std::optional{std::move(*judgement)} : std::nullopt, std::move(settled), at};
}

/// The judgement to hand back, when there is one; an error when the application may not be written. `state` is the garden without it.
Result<Judged> judge_application(OpenGarden& garden, const garden::Garden& state, const Application& a, const Id& id, Instant at) {
  if (a.state == Application::State::cancelled) return Judged{};
  if (made_unjudged(a)) return settle(garden, state, a, id, at);
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto judgement = judged_by_card(garden, state, *zone, a, at);
  if (judgement) {
    if (!decision::may_go_ahead(judgement->verdict) && !told_outside(a)) return fail(refusal(*judgement, a));
    return Judged{std::move(*judgement), {}, at};
  }
  // A spray already made is written as it was, outside the label: without any card, with another one, with a rate nobody can read, on bare
  // soil. Only a card named that isn't one of this product is refused: leave it out then.
  const auto is_named = [&](const auto& c) { return c.what.product == a.product && c.what.text == *a.card; };
  const bool card_there = !a.card || std::any_of(state.cards.begin(), state.cards.end(), is_named);
  if (!told_outside(a) || judgement.error().kind == ErrorKind::cannot) return fail(judgement.error());
  if (!card_there) return fail("treat.card_changed", {{}, 0, "card"}, {{"product", a.product}}, ErrorKind::conflict);
  return Judged{};
}

/// A bed that was sprayed or planted keeps its name and its place on the board: under another name it would look untouched.
Status keeps_its_bed(const garden::Garden& state, const garden::BedLaid& was, const garden::Amended& amended) {
  const auto* now_said = amended.replacement ? std::get_if<garden::BedLaid>(&*amended.replacement) : nullptr;
  if (now_said != nullptr && now_said->bed == was.bed) return {};
  const bool sprayed =
      std::any_of(state.applications.begin(), state.applications.end(), [&](const auto& a) { return a.what.bed == was.bed; });
  const bool planted = std::any_of(state.plantings.begin(), state.plantings.end(), [&](const auto& p) { return p.sown.bed == was.bed; });
  if (sprayed || planted) return fail("garden.bed_in_use", {{}, 0, "replacement"}, {{"bed", was.bed}});
  return {};
}

/// An amended application is judged like a new one at its own time; what was sprayed stays sprayed.
Result<Judged> judge_amendment(OpenGarden& garden, const garden::Event& told, garden::Garden state, const garden::Amended& amended) {
  if (const auto* bed = std::get_if<garden::BedLaid>(&told.payload))
    if (auto kept = keeps_its_bed(state, *bed, amended); !kept) return fail(kept.error());
  const auto* was = std::get_if<Application>(&told.payload);
  if (was == nullptr) return Judged{};
  if (!amended.replacement) {
    if (was->state == Application::State::made) return fail("treat.made_stays", {{}, 0, "replacement"}, {{"product", was->product}});
    return Judged{};
  }
  const auto* now_said = std::get_if<Application>(&*amended.replacement);
  if (now_said == nullptr) return Judged{};
  if (now_said->state != was->state) return fail("treat.state_stays", {{}, 0, "replacement.state"}, {{"product", was->product}});
  erase_if(state.applications, [&](const auto& a) { return a.id == amended.target; });
  return judge_application(garden, state, *now_said, amended.target, amended.happened_at.value_or(told.heading.at()));
}

/// What later questions will read must be there and be readable, or one bad event would take the whole garden's answers away.
class Readable {
 public:
  Readable(OpenGarden& garden, const garden::Garden& state) : garden_{garden}, state_{state} {}

  Status operator()(const garden::CardCopied& c) const {
    auto text = text_of(c.text);
    if (!text) return fail(text.error());
    auto card = io::read_card_toml(*text, c.product);
    if (!card) return fail(card.error());
    if (card->product != c.product)
      return fail("treat.card_of_another", {{}, 0, "product"}, {{"product", c.product}, {"printed", card->product}});
    return {};
  }
  Status operator()(const garden::WeatherAdded& w) const {
    auto text = text_of(w.text);
    if (!text) return fail(text.error());
    if (auto file = read_added_weather(*text, w, state_); !file) return fail(file.error());
    return {};
  }
  Status operator()(const garden::GardenDescribed& g) const {
    auto zone = io::load_zone(g.zone);
    if (!zone) return fail(zone.error());
    return {};
  }
  Status operator()(const garden::Amended& a) const { return a.replacement ? std::visit(*this, *a.replacement) : Status{}; }
  template <class Other>
  Status operator()(const Other&) const {
    return {};
  }

 private:
  Result<std::string> text_of(const Digest& digest) const {
    auto text = garden_.ledger().blob_get(digest);
    if (!text) text.error().where.field = "text";
    return text;
  }
  OpenGarden& garden_;
  const garden::Garden& state_;
};

Error refusal(const label::Judgement& judgement, const Application& application) {
  const bool refused = judgement.verdict == Verdict::refused;
  Error error{
      refused ? "treat.refused" : "treat.unknown", {}, {{"product", application.product}, {"bed", application.bed}}, ErrorKind::bad_input};
  if (!judgement.outcomes.empty()) error.where.field = judgement.outcomes.front().card_field;
  return error;
}

/// Judged against the garden as it stands; the judgement of an application comes back.
Result<Judged> judge_event(OpenGarden& garden, const garden::Garden& state, const garden::Event& event, Instant now) {
  const auto* amended = std::get_if<garden::Amended>(&event.payload);
  std::optional<garden::Recorded> target;
  if (amended != nullptr) {
    auto told = garden.event(amended->target);
    if (!told) return fail(told.error());
    target = std::move(*told);
  }
  std::optional<garden::KnownEvent> known;
  if (target) known = {target->event.payload.index(), target->event.heading.at()};
  if (auto sensible = garden::check(state, event, now, known); !sensible) return fail(sensible.error());
  if (auto readable = std::visit(Readable(garden, state), event.payload); !readable) return fail(readable.error());
  if (const auto* application = std::get_if<Application>(&event.payload))
    return judge_application(garden, state, *application, event.heading.id, event.heading.at());
  if (amended != nullptr && target) return judge_amendment(garden, target->event, state, *amended);
  return Judged{};
}

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
      auto judged = judge_event(garden_, chronicle.at(end_of_time), writing.event, writing.now);
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
    const Judged judged = settle(garden, state, application.what, application.id, application.at);
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
