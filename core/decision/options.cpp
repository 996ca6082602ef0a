#include "core/decision/options.hpp"

#include <algorithm>

#include "core/base/elementary.hpp"
#include "core/decision/surroundings.hpp"

namespace leafturn::decision {
namespace {

constexpr double worth_acting_on = 0.05;

std::vector<std::size_t> stages_there(const pest::Dossier& dossier, const PestTiming& timing, const OutlookParts& parts) {
  std::vector<std::size_t> there;
  for (const CountSeen& c : parts.counts)
    if (c.individuals > 0) there.insert(there.end(), c.stages.begin(), c.stages.end());
  if (there.empty())
    for (std::size_t s = 0; s < timing.present.size(); ++s)
      if (timing.present[s] > worth_acting_on) there.push_back(s);
  // Counted eggs hatch: what is due soon is there soon.
  for (const StageStand& stand : timing.stands)
    if (!parts.counts.empty() && stand.from)
      if (const auto index = dossier.stage_index(stand.stage)) there.push_back(*index);
  std::sort(there.begin(), there.end());
  there.erase(std::unique(there.begin(), there.end()), there.end());
  return there;
}

bool contains(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }
bool is_oil_or_soap(std::string_view active) {
  return contains(active, "oil") || contains(active, "fatty acid") || contains(active, "soap");
}

// The card's lowest rate on this crop: what a spray would be proposed at before anyone has chosen.
std::optional<label::ProductRate> lowest_rate(const label::Card& card, const std::string& crop, const pest::Library& library) {
  label::Proposal probe;
  probe.crop = crop;
  const label::Judgement j = label::judge(card, probe, library);
  if (!j.use) return std::nullopt;
  const label::Use& use = card.uses[*j.use];
  if (const auto* rate = use.rate_min.value()) return *rate;
  if (const auto* rate = use.rate_max.value()) return *rate;
  return std::nullopt;
}

void add_sprays(const BedContext& bed, const pest::Dossier& dossier, const std::vector<std::size_t>& there, Choices& out) {
  for (const auto& [digest, card] : cards_in_use(*bed.all->request)) {
    Option option;
    option.means = card->product;
    option.pest = dossier.id;
    option.card = digest;
    option.order = 3;
    for (const label::Active& active : card->actives)
      for (const pest::Efficacy* e : pest::effects_of(dossier, active.name, true)) {
        const auto words = effective_on(dossier, *e, there);
        if (words.empty() || e->high < option.high) continue;
        option.low = e->low;
        option.high = e->high;
        option.source = e->source;
        option.stages = words;
        option.order = order_of_active(active, *e);
      }
    option.judgement = judge_bed(bed, *card, dossier, bed.all->request->at);
    if (option.stages.empty()) {
      option.why.push_back({"option.no_cited_effect", {{"product", card->product}, {"pest", pest_term(dossier)}}});
      out.refused.push_back(std::move(option));
      continue;
    }
    if (option.order == rated_only) option.why.push_back({"option.rated", {{"product", card->product}, {"pest", pest_term(dossier)}}});
    for (const label::Active& active : card->actives)
      if (is_oil_or_soap(active.name)) option.why.push_back({"option.oil_hours", {{"product", card->product}}});
    if (option.judgement->earliest_harvest)
      option.why.push_back({"option.harvest_from", {{"product", card->product}, {"from", *option.judgement->earliest_harvest}}});
    const bool offered = may_go_ahead(option.judgement->verdict);
    (offered ? out.offered : out.refused).push_back(std::move(option));
  }
}

double distance(const garden::BedLaid& a, const garden::BedLaid& b) {
  const double dx = (a.x + a.width / 2.0).metres() - (b.x + b.width / 2.0).metres();
  const double dy = (a.y + a.length / 2.0).metres() - (b.y + b.length / 2.0).metres();
  return num::sqrt(dx * dx + dy * dy);
}

}  // namespace

std::vector<std::string> effective_on(const pest::Dossier& dossier, const pest::Efficacy& e, const std::vector<std::size_t>& there) {
  std::vector<std::string> words;
  for (const std::string& word : e.stages) {
    const auto meant = pest::stages_for(dossier, word).stages;
    const bool hit =
        std::any_of(meant.begin(), meant.end(), [&](std::size_t s) { return std::find(there.begin(), there.end(), s) != there.end(); });
    if (hit) words.push_back(word);
  }
  return words;
}

int order_of(std::string_view means) {
  if (means == "cover") return 0;
  if (means == "hand-pick" || means == "crush-eggs" || means == "water" || means == "pull") return 1;
  return 3;
}

int order_of_active(const label::Active& active, const pest::Efficacy& effect) {
  if (effect.source.known == pest::Known::memory) return rated_only;
  return active.mode_of_action.starts_with("11") ? 2 : 3;
}

// A quarter of a minute to look over a plant, four seconds per find.
int hand_minutes(const garden::Planting& host, double found_per_plant) {
  const int plants = plants_in(host);
  if (plants == 0) return 0;
  return std::max(1, static_cast<int>(plants * (0.25 + found_per_plant / 15.0) + 0.5));
}

bool tried_lately(const BedContext& bed, std::string_view means) {
  const BriefRequest& request = *bed.all->request;
  const auto lately = [&](Instant at) { return at < request.at && request.at - at <= Duration::hours(24 * tried_days); };
  for (const auto& work : request.garden->work) {
    using Kind = garden::WorkDone::Kind;
    const bool same = (work.what.kind == Kind::hand_pick && means == "hand-pick") || (work.what.kind == Kind::water && means == "water");
    if (same && work.what.bed == bed.bed && lately(work.at)) return true;
  }
  for (const auto& spray : request.garden->applications)
    if (spray.what.state == garden::Application::State::made && spray.what.bed == bed.bed && spray.what.product == means &&
        lately(spray.at))
      return true;
  return false;
}

std::vector<std::pair<Digest, const label::Card*>> cards_in_use(const BriefRequest& request) {
  std::vector<std::pair<Digest, const label::Card*>> found;
  for (const auto& copied : request.garden->cards) {
    const auto card = request.cards.find(copied.what.text);
    if (card == request.cards.end()) continue;
    std::erase_if(found, [&](const auto& f) { return f.second->product == card->second.product; });
    found.emplace_back(copied.what.text, &card->second);
  }
  return found;
}

label::Judgement judge_bed(const BedContext& bed, const label::Card& card, const pest::Dossier& pest, Instant end) {
  const BriefRequest& request = *bed.all->request;
  label::Judgement worst;
  bool first = true;
  for (const garden::Planting* p : bed.standing) {
    auto proposal = proposal_for(*request.garden, request.zone, *p, end, lowest_rate(card, p->sown.crop, *request.library));
    add_surroundings(proposal, *request.garden, request.zone, *p, end, card, request.cards);
    proposal.pest = pest.eppo.empty() ? pest.id : pest.eppo;
    label::Judgement j = label::judge(card, proposal, *request.library);
    if (first || severity(j.verdict) > severity(worst.verdict)) worst = std::move(j);
    first = false;
  }
  return worst;
}

bool past_harvest(const garden::Planting& planting, Date today) {
  return planting.sown.last_harvest && *planting.sown.last_harvest < today;
}

Choices choices(const BedContext& bed, const pest::Dossier& dossier, const OutlookParts& parts, const garden::Planting& host) {
  Choices out;
  const double found = parts.outlook.density ? parts.outlook.density->mean : 0.0;
  const auto there = stages_there(dossier, bed.all->timings.at(dossier.id), parts);
  for (const pest::Efficacy& e : dossier.efficacies) {
    if (e.is_active) continue;
    if (e.means == "pull" && !past_harvest(host, bed.all->today)) continue;
    Option option;
    option.means = e.means;
    option.pest = dossier.id;
    option.low = e.low;
    option.high = e.high;
    option.source = e.source;
    option.stages = effective_on(dossier, e, there);
    option.order = order_of(e.means);
    if (option.stages.empty()) continue;
    if (e.means == "hand-pick" || e.means == "crush-eggs") option.minutes = hand_minutes(host, found);
    if (e.means == "cover") option.why.push_back({"option.cover_limits", {{"pest", pest_term(dossier)}}});
    if (e.source.known == pest::Known::practice) option.why.push_back({"option.practice", {}});
    out.offered.push_back(std::move(option));
  }
  add_sprays(bed, dossier, there, out);
  std::stable_sort(out.offered.begin(), out.offered.end(),
                   [](const Option& a, const Option& b) { return a.order != b.order ? a.order < b.order : a.high > b.high; });
  return out;
}

std::vector<std::string> at_risk(const BedContext& bed, const pest::Dossier& dossier, std::size_t most) {
  const BriefRequest& request = *bed.all->request;
  struct Candidate {
    std::string bed;
    int liking = 0;
    double away = 0.0;
  };
  std::vector<Candidate> found;
  const garden::BedLaid* here = request.garden->bed(bed.bed);
  for (const garden::BedLaid& other : request.garden->beds) {
    if (other.bed == bed.bed || here == nullptr) continue;
    int liking = 0;
    for (const garden::Planting* p : request.garden->standing(other.bed, request.at, bed.all->today))
      liking = std::max(liking, preference(dossier, p->sown.crop));
    if (liking > 0) found.push_back({other.bed, liking, distance(*here, other)});
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Candidate& a, const Candidate& b) { return a.liking != b.liking ? a.liking > b.liking : a.away < b.away; });
  std::vector<std::string> beds;
  for (const Candidate& c : found)
    if (beds.size() < most) beds.push_back(c.bed);
  return beds;
}

}  // namespace leafturn::decision
