#include "app/record.hpp"

#include <algorithm>
#include <limits>
#include <utility>

#include "app/entropy.hpp"
#include "app/materials.hpp"
#include "core/decision/proposal.hpp"
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
    const auto proposal = decision::proposal_for(state, zone, *p, question.on, rate);
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
  auto answer = judge_bed(garden, state, zone, {a.bed, a.product, a.rate, at}, named);
  if (!answer) return fail(answer.error());
  if (answer->plantings.empty()) return fail("treat.bed_empty", {{}, 0, "bed"}, {{"bed", a.bed}});
  if (!a.card) return fail("treat.card_not_named", {{}, 0, "card"}, {{"product", a.product}});
  if (*a.card != answer->card_digest) return fail("treat.card_changed", {{}, 0, "card"}, {{"product", a.product}}, ErrorKind::conflict);
  return answer->plantings.front().judgement;
}

Error refusal(const label::Judgement& judgement, const Application& application);

/// The judgement to hand back, when there is one; an error when the application may not be written. `state` is the garden without it.
Result<std::optional<label::Judgement>> judge_application(OpenGarden& garden, const garden::Garden& state, const Application& a,
                                                          Instant at) {
  if (a.state == Application::State::cancelled) return std::nullopt;
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  auto judgement = judged_by_card(garden, state, *zone, a, at);
  if (judgement) {
    if (!decision::may_go_ahead(judgement->verdict) && !told_outside(a)) return fail(refusal(*judgement, a));
    return std::optional{std::move(*judgement)};
  }
  // A spray already made is written as it was, outside the label: without any card, with another one, with a rate nobody can read, on bare
  // soil. Only a card named that isn't one of this product is refused: leave it out then.
  const auto is_named = [&](const auto& c) { return c.what.product == a.product && c.what.text == *a.card; };
  const bool card_there = !a.card || std::any_of(state.cards.begin(), state.cards.end(), is_named);
  if (!told_outside(a) || judgement.error().kind == ErrorKind::cannot) return fail(judgement.error());
  if (!card_there) return fail("treat.card_changed", {{}, 0, "card"}, {{"product", a.product}}, ErrorKind::conflict);
  return std::nullopt;
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
Result<std::optional<label::Judgement>> judge_amendment(OpenGarden& garden, const garden::Event& told, garden::Garden state,
                                                        const garden::Amended& amended) {
  if (const auto* bed = std::get_if<garden::BedLaid>(&told.payload))
    if (auto kept = keeps_its_bed(state, *bed, amended); !kept) return fail(kept.error());
  const auto* was = std::get_if<Application>(&told.payload);
  if (was == nullptr) return std::nullopt;
  if (!amended.replacement) {
    if (was->state == Application::State::made) return fail("treat.made_stays", {{}, 0, "replacement"}, {{"product", was->product}});
    return std::nullopt;
  }
  const auto* now_said = std::get_if<Application>(&*amended.replacement);
  if (now_said == nullptr) return std::nullopt;
  if (now_said->state != was->state) return fail("treat.state_stays", {{}, 0, "replacement.state"}, {{"product", was->product}});
  erase_if(state.applications, [&](const auto& a) { return a.id == amended.target; });
  return judge_application(garden, state, *now_said, amended.happened_at.value_or(told.heading.happened_at));
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
Result<std::optional<label::Judgement>> judge_event(OpenGarden& garden, const garden::Garden& state, const garden::Event& event,
                                                    Instant now) {
  const auto* amended = std::get_if<garden::Amended>(&event.payload);
  std::optional<garden::Recorded> target;
  if (amended != nullptr) {
    auto told = garden.event(amended->target);
    if (!told) return fail(told.error());
    target = std::move(*told);
  }
  std::optional<garden::KnownEvent> known;
  if (target) known = {target->event.payload.index(), target->event.heading.happened_at};
  if (auto sensible = garden::check(state, event, now, known); !sensible) return fail(sensible.error());
  if (auto readable = std::visit(Readable(garden, state), event.payload); !readable) return fail(readable.error());
  if (const auto* application = std::get_if<Application>(&event.payload))
    return judge_application(garden, state, *application, event.heading.happened_at);
  if (amended != nullptr && target) return judge_amendment(garden, target->event, state, *amended);
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
      if (!batch_.empty() && (alone(writing->event) || alone(taken_.back()->event))) break;
      if (auto taken = take(*writing, *chronicle); !taken) return taken;
    }
    return {};
  }
  /// Writes what was let through and answers everyone taken. False: another program wrote in between, and nobody was answered.
  bool write() {
    Result<std::vector<store::Receipt>> receipts = std::vector<store::Receipt>{};
    if (!batch_.empty()) receipts = garden_.ledger().append(batch_, latest_, after_);
    if (!receipts && receipts.error().code == "ledger.moved_on") return false;
    for (std::size_t i = 0; i < taken_.size(); ++i) {
      if (receipts)
        taken_[i]->answer = RecordOutcome{(*receipts)[i], std::move(judgements_[i])};
      else
        taken_[i]->answer = fail(receipts.error());
    }
    // Refused beside events that were then not written: perhaps because of them.
    for (auto& [writing, error, place] : refused_) writing->answer = fail(receipts || place == 0 ? error : receipts.error());
    return true;
  }

 private:
  Status take(Writing& writing, garden::Chronicle& chronicle) {
    const Id& id = writing.event.heading.id;
    std::optional<label::Judgement> judgement;
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
      judgement = std::move(*judged);
      if (!alone(writing.event)) {
        chronicle.add({chronicle.last_seq() + 1, writing.now, writing.event});
        chronicle.settle();
      }
    }
    batch_.push_back(writing.envelope);
    taken_.push_back(&writing);
    judgements_.push_back(std::move(judgement));
    latest_ = std::max(latest_, writing.now);
    return {};
  }

  struct Refused {
    Writing* writing;
    Error error;
    std::size_t place;  ///< how many had been let through before
  };
  OpenGarden& garden_;
  std::uint64_t after_ = 0;
  Instant latest_ = Instant::from_unix_microseconds(0);
  std::vector<store::Envelope> batch_;
  std::vector<Writing*> taken_;
  std::vector<std::optional<label::Judgement>> judgements_;
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
  const garden::Heading heading = event->heading;
  Writing writing{std::move(*event), {heading.id, heading.writer, heading.writer_seq, heading.happened_at, std::string(bytes)}, now, {}};
  garden.desk().run(writing, [&](std::span<Writing* const> writings) { judge_and_write(garden, writings); });
  return std::move(*writing.answer);
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
