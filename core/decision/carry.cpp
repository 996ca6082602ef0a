#include "core/decision/carry.hpp"

#include <algorithm>

namespace leafturn::decision {
namespace {

bool overlap(const std::vector<std::size_t>& a, const std::vector<std::size_t>& b) {
  return std::any_of(a.begin(), a.end(), [&](std::size_t x) { return std::find(b.begin(), b.end(), x) != b.end(); });
}

// How a count's individuals are spread over the stages its word means: as the calendar has them, else evenly.
std::vector<double> spread_over(const PestTiming& timing, const std::vector<std::size_t>& stages, std::size_t all) {
  std::vector<double> share(all, 0.0);
  const double known = timing.present_in(stages);
  for (const std::size_t s : stages) share[s] = known > 0.05 ? timing.present[s] / known : 1.0 / static_cast<double>(stages.size());
  return share;
}

// Share of those counted that is in `target` on each day from yesterday on, mean over the futures.
std::vector<double> share_in_target(const pest::Dossier& dossier, const Air& air, const PestTiming& timing, const CountSeen& count,
                                    const std::vector<std::size_t>& target) {
  const Date yesterday = air.today - Days{1};
  const int lead = std::max(0, (yesterday - count.at.date).count);
  const int days = lead + 1 + horizon;
  std::vector<double> share(static_cast<std::size_t>(horizon) + 2, 0.0);
  const auto start = spread_over(timing, count.stages, dossier.stages.size());
  for (const weather::HourlySeries& member : air.members) {
    const auto table = phenology::age_on(dossier, member, count.at, start, days);
    for (std::size_t d = 0; d < share.size(); ++d) {
      const std::size_t row = static_cast<std::size_t>(lead) + d;
      // A count taken today has no yesterday: it stands as counted.
      const auto& stand = count.at.date > yesterday && d == 0 ? start : table[std::min(row - (count.at.date > yesterday ? 1 : 0), table.size() - 1)];
      for (const std::size_t s : target) share[d] += stand[s] / static_cast<double>(air.members.size());
    }
  }
  return share;
}

}  // namespace

std::vector<CountSeen> latest_counts(const garden::Garden& garden, const pest::Dossier& dossier, const std::string& bed, const Zone& zone, Instant now,
                                     std::optional<Instant> not_before) {
  std::vector<CountSeen> all;
  for (const auto& count : garden.counts) {
    if (count.what.bed != bed || (count.what.pest != dossier.id && count.what.pest != dossier.eppo)) continue;
    if (now - count.at > Duration::hours(24 * memory_days) || (not_before && count.at < *not_before)) continue;
    const pest::StageWord word = pest::stages_for(dossier, count.what.stage);
    if (word.stages.empty()) continue;
    const double each = word.masses && dossier.laying.per_mass ? dossier.laying.per_mass->value : 1.0;
    all.push_back({&count, zone.civil(count.at), word.stages, each, count.what.count, count.what.plants});
  }
  std::stable_sort(all.begin(), all.end(), [](const CountSeen& a, const CountSeen& b) { return a.at > b.at; });
  std::vector<CountSeen> kept;
  for (const CountSeen& c : all) {
    const auto seen = std::find_if(kept.begin(), kept.end(), [&](const CountSeen& k) { return overlap(k.stages, c.stages); });
    if (seen == kept.end()) {
      kept.push_back(c);
    } else if (seen->at.date == c.at.date && seen->stages == c.stages) {
      seen->individuals += c.individuals;  // two people, one day: more plants of the same count
      seen->plants += c.plants;
    }  // an older count says nothing new about stages that were looked at again later
  }
  return kept;
}

std::vector<Density> carry(const pest::Dossier& dossier, const Air& air, const PestTiming& timing, const std::vector<CountSeen>& counts,
                           const std::vector<WorkEffect>& work, const std::vector<std::size_t>& target) {
  std::vector<Density> days(static_cast<std::size_t>(horizon) + 2, Density{0.0, 1.0});
  for (const CountSeen& count : counts) {
    Density density = scaled(density_of(count.individuals, count.plants), count.each);
    for (const WorkEffect& w : work)
      if (w.at > count.at && overlap(w.stages, count.stages)) density = reduced(density, w.low, w.high);
    std::vector<double> share(days.size(), overlap(count.stages, target) ? 1.0 : 0.0);
    if (!air.members.empty()) share = share_in_target(dossier, air, timing, count, target);
    for (std::size_t d = 0; d < days.size(); ++d) days[d] = sum(days[d], scaled(density, share[d]));
  }
  return days;
}

}  // namespace leafturn::decision
