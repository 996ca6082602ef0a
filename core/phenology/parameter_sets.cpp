#include "core/phenology/parameter_sets.hpp"

#include <algorithm>
#include <vector>

#include "core/phenology/rate.hpp"

namespace leafturn::phenology {

std::optional<pest::Dossier> with_set(const pest::Dossier& dossier, std::string_view id) {
  const auto set = std::find_if(dossier.sets.begin(), dossier.sets.end(), [&](const pest::ParameterSet& s) { return s.id == id; });
  if (set == dossier.sets.end()) return std::nullopt;
  const auto first = dossier.stage_index(set->first);
  const auto last = dossier.stage_index(set->last);
  if (!first || !last || *last < *first) return std::nullopt;

  bool all_shared = true;
  for (std::size_t s = *first; s <= *last; ++s) all_shared = all_shared && dossier.stages[s].share && dossier.stages[s].share->value > 0.0;
  std::vector<double> parts;
  double sum = 0.0;
  for (std::size_t s = *first; s <= *last; ++s) {
    const pest::Stage& stage = dossier.stages[s];
    const auto part = all_shared ? std::optional(stage.share->value) : days_at(stage.rate, Temperature::celsius(20.0));
    if (!part) return std::nullopt;
    parts.push_back(*part);
    sum += *part;
  }
  pest::Dossier out = dossier;
  out.set_used = set->id;
  for (std::size_t s = *first; s <= *last; ++s) out.stages[s].rate = {set->model, parts[s - *first] / sum};
  return out;
}

}  // namespace leafturn::phenology
