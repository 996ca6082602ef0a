#include "app/judge_event.hpp"

#include <algorithm>
#include <utility>

#include "app/add_told.hpp"
#include "app/keep.hpp"
#include "app/materials.hpp"
#include "app/spray_ground.hpp"
#include "app/spray_start.hpp"
#include "app/waits.hpp"
#include "core/decision/surroundings.hpp"
#include "core/label/look.hpp"
#include "io/card_toml.hpp"
#include "io/zone.hpp"

namespace leafturn::app {
namespace {

using garden::Application;
using label::Verdict;

/// Which text of a card a question rests on: the one in use then, or the first, of what was copied only after it was sprayed.
const Digest* card_for(const garden::Garden& state, const std::string& product, Instant on) {
  const Digest* first = nullptr;
  const Digest* then = nullptr;
  for (const auto& c : state.cards) {
    if (c.what.product != product) continue;
    if (first == nullptr) first = &c.what.text;
    if (c.at <= on) then = &c.what.text;
  }
  return then != nullptr ? then : first;
}

}  // namespace

Result<TreatAnswer> judge_bed(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const TreatQuestion& question) {
  if (state.bed(question.bed) == nullptr) return fail("garden.no_such_bed", {{}, 0, "bed"}, {{"bed", question.bed}});
  const Digest* digest = card_for(state, question.product, question.on);
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
    if (!question.pest.empty()) proposal.pest = pest_code(garden.library(), question.pest);
    proposal.growth_stage = question.growth_stage;
    add_told(proposal, question.told, question.bed, zone.civil(question.told_at.value_or(question.on)));
    answer.plantings.push_back({p->sown.planting, p->sown.crop, label::judge(answer.card, proposal, garden.library())});
  }
  std::stable_sort(answer.plantings.begin(), answer.plantings.end(), [](const auto& a, const auto& b) {
    return decision::severity(a.judgement.verdict) > decision::severity(b.judgement.verdict);
  });
  return answer;
}

namespace {

bool told_outside(const Application& a) { return a.outside_label && a.state == Application::State::made; }

/// What is seen in flower, in the words the label asks for.
garden::Flowers flowers_of(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const std::string& bed, bool in_flower,
                           Instant at) {
  if (!in_flower) return garden::Flowers::none;
  const auto standing = state.standing(bed, at, zone.civil(at).date);
  const bool cucurbit =
      std::any_of(standing.begin(), standing.end(), [&](const auto* p) { return is_cucurbit(garden.library(), p->sown.crop); });
  return cucurbit ? garden::Flowers::open_cucurbit : garden::Flowers::open;
}

/// What was told with it and with its plan; flowers are what was seen when it was begun, and nobody un-sees them afterwards.
garden::Told told_with(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const Application& a, Instant at) {
  garden::Told told = state.told_with(a);
  for (const auto& look : state.begun)
    if (a.plan == look.what.plan && look.what.seen.in_flower && look.at <= at && at - look.at <= label::look_lasts)
      told.flowers = std::max(told.flowers, std::optional{flowers_of(garden, state, zone, a.bed, *look.what.seen.in_flower, look.at)});
  return told;
}

Result<label::Judgement> judged_by_card(OpenGarden& garden, const garden::Garden& state, const Zone& zone, const Application& a,
                                        Instant at) {
  auto answer = judge_bed(garden, state, zone,
                          {a.bed, a.product, rate_judged(a), at, a.pest, told_with(garden, state, zone, a, at), at, a.used.growth_stage});
  if (!answer) return fail(answer.error());
  if (answer->plantings.empty()) return fail("treat.bed_empty", {{}, 0, "bed"}, {{"bed", a.bed}});
  if (!a.card) return fail("treat.card_not_named", {{}, 0, "card"}, {{"product", a.product}});
  if (*a.card != answer->card_digest) return fail("treat.card_changed", {{}, 0, "card"}, {{"product", a.product}}, ErrorKind::conflict);
  return answer->plantings.front().judgement;
}

Error refusal(const label::Judgement& judgement, const Application& application);

bool made_unjudged(const Application& a) { return a.state == Application::State::made && a.not_judged && !a.outside_label; }

}  // namespace

Judged settle_unjudged(OpenGarden& garden, const garden::Garden& state, const Application& a, const Id& id, Instant at) {
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

namespace {

/// The judgement to hand back, when there is one; an error when the application may not be written. `state` is the garden without it.
Result<Judged> judge_application(OpenGarden& garden, const garden::Garden& state, const Application& a, const Id& id, Instant at) {
  // What was begun may have left the nozzle: it is written down as made, or its beginning withdrawn by somebody who says why.
  if (a.state == Application::State::cancelled && a.plan && state.begun_of(*a.plan, end_of_time) != nullptr)
    return fail("treat.begun_stays", {{}, 0, "plan"}, {{"product", a.product}});
  if (a.state == Application::State::cancelled) return Judged{};
  if (made_unjudged(a)) return settle_unjudged(garden, state, a, id, at);
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

/// A plan is begun when its card still allows it and the look at the bed was good. Advice may be set aside for a reason; a label may not.
Result<Judged> judge_beginning(OpenGarden& garden, garden::Garden state, const garden::SprayBegun& begun, Instant at) {
  const auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  const auto plan = std::find_if(state.applications.begin(), state.applications.end(), [&](const auto& a) { return a.id == begun.plan; });
  if (plan == state.applications.end()) return fail("garden.no_such_plan", {{}, 0, "plan"});
  Application application = plan->what;
  application.told.flowers.reset();
  if (begun.seen.in_flower) application.told.flowers = flowers_of(garden, state, *zone, begun.bed, *begun.seen.in_flower, at);
  const bool late =
      std::any_of(state.applications.begin(), state.applications.end(), [&](const auto& a) { return a.what.plan == begun.plan; });
  erase_if(state.applications, [&](const auto& a) { return a.id == begun.plan; });
  std::optional<label::Judgement> judgement;
  if (!late) {  // else the spray was judged itself
    auto judged = judged_by_card(garden, state, *zone, application, at);
    if (!judged) return fail(judged.error());
    if (!decision::may_go_ahead(judged->verdict)) return fail(refusal(*judged, application));
    judgement = std::move(*judged);
  }
  const auto look = start_answer(garden, state, begun.bed, begun.product, begun.seen, at, application.told);
  if (!look) return fail(look.error());
  const auto stops = [&](const char* code, const spray::LimitFound& limit) {
    return fail(code, {},
                {{"bed", begun.bed},
                 {"product", begun.product},
                 {"limit", Term{"spray_hours.limit." + std::string{spray::word_for(limit.limit)}}}});
  };
  if (const auto* limit = look->found.not_told(); limit != nullptr)
    return stops(spray::StartFound::not_copied(*limit) ? "start.not_copied" : "start.not_told", *limit);
  if (const auto* limit = look->found.forbidden(); limit != nullptr) return stops("start.forbidden", *limit);
  if (const auto* limit = look->found.advised_against(); limit != nullptr && begun.despite.empty())
    return stops("start.advised_against", *limit);
  return Judged{std::move(judgement), {}, at};
}

/// What is picked before its day is not eaten: it is written down as made away with or held, or not at all.
Result<Judged> judge_harvest(OpenGarden& garden, const garden::Garden& state, const garden::HarvestTaken& harvest, Instant at) {
  if (harvest.early) return Judged{};
  const auto bed = clear_at(garden, state, harvest.bed, at);
  if (!bed) return fail(bed.error());
  if (bed->harvest.clear) return Judged{};
  std::vector<Fact> facts = bed->harvest.why.facts;
  facts.push_back({"bed", harvest.bed});
  return fail(bed->harvest.from ? "harvest.not_yet" : "harvest.not_known", {}, std::move(facts));
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
  const Instant at = amended.happened_at.value_or(told.heading.at());
  if (amended.replacement)
    if (const auto* harvest = std::get_if<garden::HarvestTaken>(&*amended.replacement)) return judge_harvest(garden, state, *harvest, at);
  // The look was what it was: with other words it would be another. Once the spray is made it stands in its record.
  if (const auto* begun = std::get_if<garden::SprayBegun>(&told.payload); begun != nullptr) {
    const bool made = std::any_of(state.applications.begin(), state.applications.end(),
                                  [&](const auto& a) { return a.what.plan == begun->plan && a.what.state == Application::State::made; });
    if (made || amended.replacement) return fail("start.stays", {{}, 0, "replacement"});
  }
  if (const auto* release = std::get_if<garden::BedReleased>(&told.payload); release != nullptr && amended.replacement) {
    const auto* again = std::get_if<garden::BedReleased>(&*amended.replacement);
    if (again == nullptr || again->basis != release->basis || again->bed != release->bed || amended.happened_at)
      return fail("treat.release_stays", {{}, 0, "replacement"}, {{"bed", release->bed}});
  }
  const auto* was = std::get_if<Application>(&told.payload);
  if (was == nullptr) return Judged{};
  if (was->state == Application::State::planned && state.begun_of(amended.target, end_of_time) != nullptr)
    return fail("treat.begun_stays", {{}, 0, "replacement"}, {{"product", was->product}});
  if (!amended.replacement) {
    if (was->state == Application::State::made) return fail("treat.made_stays", {{}, 0, "replacement"}, {{"product", was->product}});
    return Judged{};
  }
  const auto* now_said = std::get_if<Application>(&*amended.replacement);
  if (now_said == nullptr) return Judged{};
  if (was->state == Application::State::made && was->plan != now_said->plan)
    return fail("treat.plan_stays", {{}, 0, "replacement.plan"}, {{"product", was->product}});
  if (now_said->state != was->state) return fail("treat.state_stays", {{}, 0, "replacement.state"}, {{"product", was->product}});
  erase_if(state.applications, [&](const auto& a) { return a.id == amended.target; });
  return judge_application(garden, state, *now_said, amended.target, at);
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

}  // namespace

Result<Judged> judge_event(OpenGarden& garden, const garden::Chronicle& chronicle, const garden::Event& event, Instant now) {
  const garden::Garden state = chronicle.at(end_of_time);
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
  if (const auto* begun = std::get_if<garden::SprayBegun>(&event.payload))
    return judge_beginning(garden, state, *begun, event.heading.at());
  if (const auto* harvest = std::get_if<garden::HarvestTaken>(&event.payload))
    return judge_harvest(garden, state, *harvest, event.heading.at());
  auto judged = amended != nullptr && target ? judge_amendment(garden, target->event, state, *amended) : Result<Judged>{Judged{}};
  if (!judged) return judged;
  if (auto kept = frees_no_bed(garden, chronicle, state, event, target, now); !kept) return fail(kept.error());
  return judged;
}

}  // namespace leafturn::app
