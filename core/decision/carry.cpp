#include "core/decision/carry.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <type_traits>

namespace leafturn::decision {
namespace {

bool overlap(const std::vector<std::size_t>& a, const std::vector<std::size_t>& b) {
  return std::any_of(a.begin(), a.end(), [&](std::size_t x) { return std::find(b.begin(), b.end(), x) != b.end(); });
}

// How a count's individuals are spread over the stages its word means: as the calendar had them when they were counted, else evenly.
std::vector<double> spread_over(const PestTiming& timing, const CountSeen& count, std::size_t all) {
  std::vector<double> share(all, 0.0);
  const std::vector<double>& present = timing.present_on(count.at.date - Days{1});
  double known = 0.0;
  for (const std::size_t s : count.stages) known += s < present.size() ? present[s] : 0.0;
  for (const std::size_t s : count.stages) share[s] = known > 0.05 ? present[s] / known : 1.0 / static_cast<double>(count.stages.size());
  return share;
}

double total(const std::vector<double>& shares) {
  double sum = 0.0;
  for (const double share : shares) sum += share;
  return sum;
}

// Takes one work's effect off. Returns the relative variance that its doubt adds to what is left: the effect is taken as even between its
// published ends, variance (high − low)²/12.
double take_off(const WorkEffect& work, std::vector<double>& state) {
  const double left = 1.0 - 0.5 * (work.low + work.high);
  double hit = 0.0;
  for (const std::size_t s : work.stages) hit += state[s] *= std::max(0.0, left);
  const double all = total(state);
  if (!(left > 0.0) || !(all > 0.0)) return 0.0;
  const double part = hit / all;
  return (work.high - work.low) * (work.high - work.low) / 12.0 / (left * left) * part * part;
}

// Ages a count in one future from one work to the next, then on to the horizon, and adds it to the mean. Work on a day finds the stages of
// the midnight before.
void follow(const pest::Dossier& dossier, const Air& air, const weather::HourlySeries& member, const CivilTime& counted,
            std::vector<double> state, const std::vector<WorkEffect>& work, double weight, Aged& mean) {
  CivilTime from = counted;
  for (const WorkEffect& w : work) {
    if (!(w.at > counted)) continue;
    if (w.at.date > from.date) {
      state = phenology::age_on(dossier, member, from, state, (w.at.date - from.date).count - 1).back();
      from = {w.at.date, 0};
    }
    mean.doubt += take_off(w, state) * weight;
  }
  const Date yesterday = air.today - Days{1};
  const bool today = from.date > yesterday;  // what stands since today has no yesterday: it stands as it is
  const int lead = std::max(0, (yesterday - from.date).count);
  const auto table = phenology::age_on(dossier, member, from, state, lead + static_cast<int>(mean.stands.size()) - 1);
  for (std::size_t d = 0; d < mean.stands.size(); ++d) {
    const auto& stand = today && d == 0 ? state : table[static_cast<std::size_t>(lead) + d - (today ? 1 : 0)];
    for (std::size_t s = 0; s < stand.size(); ++s) mean.stands[d][s] += stand[s] * weight;
  }
}

Aged aged(const pest::Dossier& dossier, const Air& air, const CivilTime& counted, const std::vector<double>& start,
          const std::vector<WorkEffect>& work, int ahead) {
  Aged mean;
  mean.stands.assign(static_cast<std::size_t>(ahead) + 2, std::vector<double>(dossier.stages.size(), 0.0));
  const double each = 1.0 / static_cast<double>(air.members.size());
  for (const weather::HourlySeries& member : air.members) follow(dossier, air, member, counted, start, work, each, mean);
  return mean;
}

// Everything that ageing a count follows from, besides the air of the day.
class Key {
 public:
  template <class T>
  Key& add(T value) {
    static_assert(std::is_arithmetic_v<T>);
    const auto bytes = std::bit_cast<std::array<char, sizeof(T)>>(value);
    text.append(bytes.data(), bytes.size());
    return *this;
  }
  std::string text;
};

std::string key_of(const pest::Dossier& dossier, const Air& air, const CivilTime& counted, const std::vector<double>& start,
                   const std::vector<WorkEffect>& work, int ahead) {
  Key key{dossier.id};
  key.add('\0').add(air.members.size()).add(air.today.serial()).add(counted.date.serial()).add(counted.second_of_day).add(ahead);
  for (const double share : start) key.add(share);
  for (const WorkEffect& w : work) {
    key.add(w.at.date.serial()).add(w.at.second_of_day).add(w.low).add(w.high).add(w.stages.size());
    for (const std::size_t s : w.stages) key.add(s);
  }
  return std::move(key.text);
}

struct Path {
  std::vector<double> share;  ///< of those counted, in the target, by day from yesterday on
  double doubt = 0.0;         ///< relative variance that the work's effect adds
};

// Without weather nobody moves, and which of the stages its word means a count was in is not known: it counts in full for any of them.
Path stand_still(const CountSeen& count, std::vector<double> state, const std::vector<WorkEffect>& work,
                 const std::vector<std::size_t>& target, int ahead) {
  Path path;
  for (const WorkEffect& w : work)
    if (w.at > count.at) path.doubt += take_off(w, state);
  path.share.assign(static_cast<std::size_t>(ahead) + 2, overlap(count.stages, target) ? total(state) : 0.0);
  return path;
}

Path mean_path(const pest::Dossier& dossier, const Air& air, const PestTiming& timing, const CountSeen& count,
               const std::vector<WorkEffect>& work, const std::vector<std::size_t>& target, int ahead, AgedBefore& before) {
  const auto start = spread_over(timing, count, dossier.stages.size());
  if (air.members.empty()) return stand_still(count, start, work, target, ahead);
  const Aged& all =
      before.get(key_of(dossier, air, count.at, start, work, ahead), [&] { return aged(dossier, air, count.at, start, work, ahead); });
  Path path;
  path.doubt = all.doubt;
  for (const auto& stand : all.stands) {
    double share = 0.0;
    for (const std::size_t s : target) share += stand[s];
    path.share.push_back(share);
  }
  return path;
}

}  // namespace

std::vector<CountSeen> latest_counts(const garden::Garden& garden, const pest::Dossier& dossier, const std::string& bed, const Zone& zone,
                                     Instant now, std::optional<Instant> not_before) {
  std::vector<CountSeen> all;
  const Duration memory = Duration::hours(24 * memory_days);
  for (const auto& count : garden::within(garden.counts, std::max(now - memory, not_before.value_or(now - memory)), now)) {
    if (count.what.bed != bed || (count.what.pest != dossier.id && count.what.pest != dossier.eppo)) continue;
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

Carried carry(const pest::Dossier& dossier, const Air& air, const PestTiming& timing, const std::vector<CountSeen>& counts,
              std::vector<WorkEffect> work, const std::vector<std::size_t>& target, int ahead, AgedBefore* before) {
  AgedBefore own;
  AgedBefore& kept = before != nullptr ? *before : own;
  std::stable_sort(work.begin(), work.end(), [](const WorkEffect& a, const WorkEffect& b) { return a.at < b.at; });
  Carried out;
  out.days.assign(static_cast<std::size_t>(ahead) + 2, Density{0.0, 1.0});
  out.spoken_for.assign(out.days.size(), 0.0);
  for (const CountSeen& count : counts) {
    const bool worked = std::any_of(work.begin(), work.end(), [&](const WorkEffect& w) { return w.at > count.at; });
    const Path path = mean_path(dossier, air, timing, count, work, target, ahead, kept);
    const Path untouched = worked ? mean_path(dossier, air, timing, count, {}, target, ahead, kept) : path;
    Density density = scaled(density_of(count.individuals, count.plants), count.each);
    density.relative_variance += path.doubt + density.relative_variance * path.doubt;
    for (std::size_t d = 0; d < out.days.size(); ++d) {
      out.days[d] = sum(out.days[d], scaled(density, path.share[d]));
      out.spoken_for[d] = std::max(out.spoken_for[d], untouched.share[d]);
    }
  }
  return out;
}

}  // namespace leafturn::decision
