#include "core/phenology/parts.hpp"

#include <algorithm>

#include "core/phenology/rate.hpp"

namespace leafturn::phenology {

bool names(const pest::Stage& stage, const std::string& word) { return stage.key == word || pest::word_for(stage.group) == word; }

std::optional<std::size_t> first_named(const pest::Dossier& dossier, const std::string& word) {
  for (std::size_t s = 0; s < dossier.stages.size(); ++s)
    if (names(dossier.stages[s], word)) return s;
  return std::nullopt;
}

std::vector<int> chain_lengths(const pest::Dossier& dossier) {
  std::vector<int> lengths;
  for (const pest::Stage& stage : dossier.stages) lengths.push_back(substages(stage.spread.value));
  return lengths;
}

std::vector<weather::Gap> gaps_between(const weather::HourlySeries& air, Date start, Date end) {
  std::vector<weather::Gap> gaps;
  for (Date d = start; d <= end; d = d + Days{1}) {
    if (air.find(d) != nullptr) continue;
    if (!gaps.empty() && gaps.back().last + Days{1} == d)
      gaps.back().last = d;
    else
      gaps.push_back({d, d});
  }
  return gaps;
}

void Marks::passed(double before, double after, Date date, double from, double to) {
  while (next_ < marks.size() && after >= marks[next_]) {
    const double part = after > before ? std::clamp((marks[next_] - before) / (after - before), 0.0, 1.0) : 0.0;
    const auto second = static_cast<std::int32_t>((from + part * (to - from)) * 60.0) * 60;
    times_[next_++] = second < 86400 ? CivilTime{date, second} : CivilTime{date + Days{1}, 0};
  }
}

}  // namespace leafturn::phenology
