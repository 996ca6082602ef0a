#include "bench/play/grower.hpp"

#include <algorithm>

namespace leafturn::play {
namespace {

using gardens::Product;

constexpr double half_an_hour_of_picking = 80;  // plants that one goes over by hand before reaching for a sprayer
constexpr double works = 0.5;                   // 'fair' on the universities' scale: half of them or more

const pest::Dossier* dossier_of(const pest::Library& library, const std::string& pest) { return library.pest(pest); }

int counted_today(const Played& played, int bed, const std::string& pest, const std::string& word, int& plants) {
  const gardens::History h = played.garden.history(played.garden.today());
  for (auto c = h.counts.rbegin(); c != h.counts.rend(); ++c)
    if (c->day == played.garden.today() && c->bed == bed && c->pest == pest && c->stage == word) {
      plants = c->plants;
      return c->count;
    }
  return 0;
}

// Found today per plant of what the threshold counts. A threshold in instars is held against all larvae: people here tell no instars apart,
// and half of them are taken to be of the size it names.
double found(const Played& played, int bed, const std::string& pest, const pest::Dossier& dossier, const pest::Threshold& t) {
  const auto wanted = pest::stages_for(dossier, t.stage == "any" ? "feeding" : t.stage);
  double sum = 0.0;
  int plants = 0;
  for (const std::string& word : played.garden.stage_words(pest)) {
    const auto counted = pest::stages_for(dossier, word);
    const auto inside = std::count_if(counted.stages.begin(), counted.stages.end(), [&](std::size_t s) {
      return std::find(wanted.stages.begin(), wanted.stages.end(), s) != wanted.stages.end();
    });
    if (inside == 0) continue;
    double n = counted_today(played, bed, pest, word, plants);
    if (counted.masses && !wanted.masses && dossier.laying.per_mass) n *= dossier.laying.per_mass->value;
    if (!counted.masses && wanted.masses && dossier.laying.per_mass) n /= dossier.laying.per_mass->value;
    sum += n * static_cast<double>(inside) / static_cast<double>(counted.stages.size());
  }
  return plants > 0 ? sum / plants : 0.0;
}

// A threshold published as a share of plants, as the mean at which that share is met when plants differ as k = 1.
double per_plant(const pest::Threshold& t) {
  const double value = t.value.value;
  return t.measure == pest::Threshold::Measure::per_plant ? value : value / (1.0 - value);
}

// Of several for a crop those of its age: near maturity from two weeks before the first harvest.
bool of_this_age(const pest::Threshold& t, const gardens::History::Planting& planting, int today) {
  const bool late = today >= planting.first_harvest - 14;
  if (t.growth == "near-maturity") return late;
  if (t.growth == "cupping") return !late;
  return t.growth != "seedbed" || today < planting.set_out + 14;
}

double effect(const pest::Dossier& dossier, std::string_view active) {
  double best = 0.0;
  for (const pest::Efficacy& e : dossier.efficacies)
    if (e.is_active && pest::same_active(e.means, active)) best = std::max(best, 0.5 * (e.low + e.high));
  return best;
}

// The dossiers hold no trial of the broad one; summaries rate it effective on bugs and beetles (reference: spray practice 5.4).
bool broad_works(const pest::Dossier& dossier) { return dossier.order == "Hemiptera" || dossier.order == "Coleoptera"; }

// Gentlest first on the shelf: neem, spinosad, the broad one.
std::vector<const Product*> ladder(const pest::Dossier& dossier) {
  std::vector<const Product*> found;
  for (const char* active : {"azadirachtin", "spinosad", "lambda-cyhalothrin"})
    for (const Product& p : gardens::products()) {
      if (p.active != active) continue;
      if (effect(dossier, active) >= works || (p.active == "lambda-cyhalothrin" && broad_works(dossier))) found.push_back(&p);
    }
  return found;
}

bool hand_work_helps(const pest::Dossier& dossier) {
  return std::any_of(dossier.efficacies.begin(), dossier.efficacies.end(), [](const pest::Efficacy& e) { return e.means == "hand-pick"; });
}

void treat(Played& played, int bed, const pest::Dossier& dossier) {
  const auto at = static_cast<std::size_t>(bed);
  const bool by_hand_first = hand_work_helps(dossier) && played.garden.plants_in(bed) <= half_an_hour_of_picking;
  const auto rungs = ladder(dossier);
  const int tried = played.tries[at]++;
  // From the rung that hasn't failed yet upwards, then hand work, lastly nothing.
  if (tried == 0 && by_hand_first) return by_hand(played, bed, true, true);
  for (std::size_t rung = static_cast<std::size_t>(std::max(0, tried - (by_hand_first ? 1 : 0))); rung < rungs.size(); ++rung)
    if (may_spray(played, bed, *rungs[rung])) return spray(played, bed, *rungs[rung]);
  for (const Product* product : rungs)
    if (may_spray(played, bed, *product)) return spray(played, bed, *product);
  if (hand_work_helps(dossier)) by_hand(played, bed, true, true);
}

}  // namespace

void competent_morning(Played& played, const pest::Library& library) {
  for (int bed = 0; bed < played.garden.beds(); ++bed) {
    if (!due(played, bed)) continue;
    look_over(played, bed);
    const auto planting = standing(played, bed);
    const pest::Dossier* worst = nullptr;
    double times_over = 1.0;
    for (const std::string& pest : played.garden.pests()) {
      const pest::Dossier* dossier = dossier_of(library, pest);
      if (dossier == nullptr || !played.garden.is_host(bed, pest)) continue;
      for (const pest::Threshold& t : dossier->thresholds) {
        if (!t.crops.empty() && std::find(t.crops.begin(), t.crops.end(), planting->crop) == t.crops.end()) continue;
        if (!of_this_age(t, *planting, played.garden.today())) continue;
        const double times = found(played, bed, pest, *dossier, t) / per_plant(t);
        if (times < times_over) continue;
        times_over = times;
        worst = dossier;
      }
    }
    if (worst == nullptr) {
      played.tries[static_cast<std::size_t>(bed)] = 0;
    } else {
      treat(played, bed, *worst);
    }
  }
}

void calendar_morning(Played& played) {
  for (int bed = 0; bed < played.garden.beds(); ++bed) {
    const auto planting = standing(played, bed);
    if (!planting || played.garden.today() < planting->set_out + 21 || (played.garden.today() - planting->set_out) % 7 != 0) continue;
    const auto pests = played.garden.pests();
    if (std::none_of(pests.begin(), pests.end(), [&](const std::string& pest) { return played.garden.is_host(bed, pest); })) continue;
    for (const gardens::Product& product : gardens::products())
      if (may_spray(played, bed, product)) {
        spray(played, bed, product);
        break;
      }
    played.look_again[static_cast<std::size_t>(bed)] = -1;
  }
}

}  // namespace leafturn::play
