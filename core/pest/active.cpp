#include "core/pest/active.hpp"

#include "core/pest/dossier.hpp"

namespace leafturn::pest {

double share_killed(Harm harm) { return harm == Harm::low ? 0.10 : harm == Harm::moderate ? 0.40 : 0.80; }

double days_of(Lasting lasting) { return lasting == Lasting::brief ? 3.0 : lasting == Lasting::moderate ? 10.0 : 21.0; }

std::optional<EnemyToll> enemy_toll(const Active& active) {
  double sum = 0.0;
  int rated = 0;
  for (const auto* harms : {&active.predators, &active.parasites})
    if (*harms) {
      sum += 0.5 * (share_killed((*harms)->low) + share_killed((*harms)->high));
      ++rated;
    }
  if (rated == 0) return std::nullopt;
  const auto& lasts = active.harm_lasts;
  return EnemyToll{sum / rated, lasts ? 0.5 * (days_of(lasts->low) + days_of(lasts->high)) : days_of(Lasting::moderate)};
}

std::string_view word_for(Harm harm) { return harm == Harm::low ? "low" : harm == Harm::moderate ? "moderate" : "high"; }

std::string_view word_for(Lasting lasting) {
  return lasting == Lasting::brief ? "short" : lasting == Lasting::moderate ? "moderate" : "long";
}

}  // namespace leafturn::pest
