#include "core/decision/context.hpp"

namespace leafturn::decision {

int preference(const pest::Dossier& dossier, std::string_view crop) {
  for (const pest::Host& host : dossier.hosts)
    if (host.crop == crop) return host.preference;
  return 0;
}

const garden::Planting* best_host(const BedContext& bed, const pest::Dossier& dossier) {
  const garden::Planting* best = nullptr;
  int most = 0;
  for (const garden::Planting* p : bed.standing)
    if (const int liking = preference(dossier, p->sown.crop); liking > most) {
      most = liking;
      best = p;
    }
  return best;
}

int plants_in(const garden::Planting& planting) { return planting.sown.plants.value_or(0); }

Term pest_term(const pest::Dossier& dossier) { return {"pest." + dossier.id + ".name"}; }
Term crop_term(const garden::Planting& planting) { return {"crop." + planting.sown.crop}; }
Term stage_term(std::string_view key_or_group) { return {"stage." + std::string(key_or_group)}; }

Number per_plant(double density) { return {density, density >= 9.5 ? 0 : density >= 0.095 ? 1 : 2}; }

Number as_published(double value) {
  for (int decimals = 0, scale = 1; decimals < 3; ++decimals, scale *= 10)
    if (const double scaled = value * scale; scaled - static_cast<double>(static_cast<long long>(scaled + 0.5)) < 1e-9 &&
                                             scaled - static_cast<double>(static_cast<long long>(scaled + 0.5)) > -1e-9)
      return {value, decimals};
  return {value, 3};
}

}  // namespace leafturn::decision
