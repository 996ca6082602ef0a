#include "core/decision/acts.hpp"

#include <algorithm>
#include <string_view>

#include "core/decision/proposal.hpp"

namespace leafturn::decision {
namespace {

using population::Deed;

// Minutes of work but for hand work: common practice, no source.
constexpr int covering = 15;  // a bed's net, on and pegged down
constexpr int spraying = 30;  // measure, mix, spray, rinse, write down
constexpr double pulling_a_plant = 0.5;

struct Making {
  const ActsRequest& r;
  Acts out;

  const BriefRequest& brief() const { return *r.bed->all->request; }
  Instant moment(int day) const { return brief().at + Duration::hours(24 * day); }
  population::StepNumber step(int day) const { return r.world->step_at(Zone::fixed(r.standard_offset).civil(moment(day))); }
  bool may_enter(int day) const {
    const Clearance& entry = r.bed->clearance.entry;
    return entry.clear || (entry.from && *entry.from <= moment(day));
  }
  // The first of the days on which somebody may go in.
  std::optional<int> first_entry() const {
    for (int day = 0; day < r.days; ++day)
      if (may_enter(day)) return day;
    return std::nullopt;
  }
};

// What a cited effect does to those present: the best of several studies of one thing. Whether this one is the best so far.
bool cite(const pest::Efficacy& e, std::vector<std::string> words, Act& act) {
  if (!act.stages.empty() && e.high < act.high) return false;
  act.low = e.low;
  act.high = e.high;
  act.source = e.source;
  act.stages = std::move(words);
  std::erase_if(act.why, [](const Reason& why) { return why.code == "option.practice"; });
  if (e.source.known == pest::Known::practice) act.why.push_back({"option.practice", {}});
  return true;
}

void merge(std::vector<Deed>& into, Deed deed) {
  if (into.empty()) {
    into.push_back(std::move(deed));
    return;
  }
  Deed& all = into.front();
  for (std::size_t s = 0; s < all.low.size(); ++s) {
    all.low[s] = std::max(all.low[s], deed.low[s]);
    all.high[s] = std::max(all.high[s], deed.high[s]);
  }
  all.half_life_days = std::max(all.half_life_days, deed.half_life_days);
  all.wash_off = std::min(all.wash_off, deed.wash_off);
  all.enemies_killed = std::max(all.enemies_killed, deed.enemies_killed);
}

bool covered_now(const Making& m, population::StepNumber at) {
  bool covered = false;
  for (const Deed& deed : m.r.world->deeds) {
    if (deed.bed != m.r.place || deed.at > at) continue;
    if (deed.kind == Deed::Kind::cover) covered = true;
    if (deed.kind == Deed::Kind::uncover || deed.kind == Deed::Kind::pull) covered = false;
  }
  return covered;
}

void set_minutes(const Making& m, Act& act) {
  const int plants = plants_in(*m.r.host);
  if (act.means == "hand-pick" || act.means == "crush-eggs" || act.means == "water") {
    if (const int minutes = hand_minutes(*m.r.host, m.r.found_per_plant); minutes > 0) act.minutes = minutes;
  } else if (act.means == "cover") {
    act.minutes = covering;
    act.why.push_back({"option.cover_limits", {{"pest", pest_term(*m.r.dossier)}}});
  } else if (act.means == "pull" && plants > 0) {
    act.minutes = std::max(1, static_cast<int>(plants * pulling_a_plant + 0.5));
  }
  if (act.means == "pull") act.why.push_back({"option.pull_sends", {{"bed", m.r.bed->bed}, {"pest", pest_term(*m.r.dossier)}}});
}

void add_work(Making& m, int day) {
  std::vector<std::string> done;
  for (const pest::Efficacy& first : m.r.dossier->efficacies) {
    if (first.is_active || std::find(done.begin(), done.end(), first.means) != done.end()) continue;
    done.push_back(first.means);
    if (first.means == "pull" && !past_harvest(*m.r.host, m.r.bed->all->today)) continue;
    if (first.means == "cover" && covered_now(m, m.step(day))) continue;
    Act act;
    act.means = first.means;
    act.on = m.r.bed->all->today + Days{day};
    act.order = order_of(first.means);
    act.forgoes = first.means == "pull";
    act.tried = tried_lately(*m.r.bed, first.means);
    for (const pest::Efficacy& e : m.r.dossier->efficacies) {
      if (e.is_active || e.means != first.means) continue;
      // A cover is against those that would come, so none has to be there.
      auto words = first.means == "cover" ? e.stages : effective_on(*m.r.dossier, e, m.r.present);
      if (!words.empty()) cite(e, std::move(words), act);
    }
    if (act.stages.empty()) continue;
    const Deed::Kind kind = first.means == "cover" ? Deed::Kind::cover : first.means == "pull" ? Deed::Kind::pull : Deed::Kind::kill;
    auto deed = population::deed_for(*m.r.life, *m.brief().library, kind, first.means, false);
    if (!deed) continue;
    deed->bed = m.r.place;
    deed->at = m.step(day);
    act.deeds.push_back(std::move(*deed));
    set_minutes(m, act);
    m.out.possible.push_back(std::move(act));
  }
}

// Whole plants that are ripe can be brought in before more is eaten; a leaf or a fruit picked leaves the rest of the plant to them.
void add_harvest(Making& m, int day) {
  const pest::Library& library = *m.brief().library;
  const pest::Crop* crop = library.crop(m.r.host->sown.crop);
  const auto& first = m.r.host->sown.first_harvest;
  const Date on = m.r.bed->all->today + Days{day};
  const Clearance& harvest = m.r.bed->clearance.harvest;
  const bool clear = harvest.clear || (harvest.from && *harvest.from <= m.moment(day));
  if (crop == nullptr || !first || *first > on || !clear) return;
  const bool whole = !crop->parts.empty() && std::all_of(crop->parts.begin(), crop->parts.end(), [](const std::string& part) {
    return part == "head" || part == "root" || part == "tuber" || part == "bulb";
  });
  if (!whole) return;
  Act act;
  act.means = "harvest";
  act.on = on;
  act.order = 0;
  act.picks = true;
  act.why.push_back({"option.harvest_growth", {{"crop", crop_term(*m.r.host)}}});
  m.out.possible.push_back(std::move(act));
}

bool says_organic(const label::Card& card) { return card.organic_listed.value() != nullptr && *card.organic_listed.value(); }

void add_spray(Making& m, const Digest& digest, const label::Card& card, int day) {
  const pest::Dossier& dossier = *m.r.dossier;
  Act act;
  act.means = card.product;
  act.card = digest;
  act.on = m.r.bed->all->today + Days{day};
  act.order = 3;
  act.minutes = spraying;
  act.tried = tried_lately(*m.r.bed, card.product);
  for (const label::Active& active : card.actives) {
    bool works = false;
    for (const pest::Efficacy* e : pest::effects_of(dossier, active.name, true)) {
      auto words = effective_on(dossier, *e, m.r.present);
      if (words.empty()) continue;
      works = true;
      if (cite(*e, std::move(words), act)) act.order = order_of_active(active, *e);
    }
    if (!works) continue;
    if (auto deed = population::deed_for(*m.r.life, *m.brief().library, Deed::Kind::kill, active.name, true))
      merge(act.deeds, std::move(*deed));
  }
  act.judgement = judge_bed(*m.r.bed, card, dossier, m.moment(day));
  const auto refuse = [&](Reason why) {
    act.why = {std::move(why)};
    m.out.refused.push_back(std::move(act));
  };
  if (act.deeds.empty()) return refuse({"option.no_cited_effect", {{"product", card.product}, {"pest", pest_term(dossier)}}});
  if (!may_go_ahead(act.judgement->verdict)) return refuse(act.judgement->outcomes.front().reason);
  if (m.r.organic && !says_organic(card)) return refuse({"option.not_organic", {{"product", card.product}}});
  for (Deed& deed : act.deeds) {
    deed.bed = m.r.place;
    deed.at = m.step(day);
  }
  if (act.order == rated_only) act.why.push_back({"option.rated", {{"product", card.product}, {"pest", pest_term(dossier)}}});
  if (act.judgement->earliest_harvest)
    act.why.push_back({"option.harvest_from", {{"product", card.product}, {"from", *act.judgement->earliest_harvest}}});
  m.out.possible.push_back(std::move(act));
}

}  // namespace

std::vector<Deed> at_step(std::vector<Deed> deeds, population::StepNumber at) {
  for (Deed& deed : deeds) deed.at = at;
  return deeds;
}

Acts acts_for(const ActsRequest& request) {
  Making m{request, {}};
  Act nothing;
  nothing.means = "nothing";
  nothing.on = request.bed->all->today;
  nothing.order = -1;
  nothing.minutes = 0;
  m.out.possible.push_back(std::move(nothing));
  const auto first = m.first_entry();
  if (!first) return std::move(m.out);
  add_work(m, *first);
  add_harvest(m, *first);
  for (const auto& [digest, card] : cards_in_use(m.brief()))
    for (int day = *first; day < request.days; ++day) add_spray(m, digest, *card, day);
  std::stable_sort(m.out.possible.begin(), m.out.possible.end(),
                   [](const Act& a, const Act& b) { return a.order != b.order ? a.order < b.order : a.on < b.on; });
  return std::move(m.out);
}

}  // namespace leafturn::decision
