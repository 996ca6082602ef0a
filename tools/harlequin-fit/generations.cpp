#include "tools/harlequin-fit/generations.hpp"

#include <algorithm>
#include <cstdio>

#include "core/phenology/cohort.hpp"

namespace leafturn::fit {

pest::Dossier with_set(const pest::Dossier& dossier, const Set& set) {
  pest::Dossier out = dossier;
  for (pest::Stage& stage : out.stages) {
    double heat = (set.egg_to_adult - set.egg) / 5.0;
    if (stage.group == pest::StageGroup::egg) heat = set.egg;
    if (stage.key == "adult-new") heat = set.before_laying;
    if (stage.key == "adult-laying") heat = laying_days * (laying_at_c - set.lower_c);
    auto* linear = std::get_if<pest::LinearRate>(&stage.rate.model);
    if (linear == nullptr) continue;
    linear->lower.value = Temperature::celsius(set.lower_c);
    linear->constant.value = DegreeDays::celsius_days(heat);
  }
  return out;
}

Generations generations_of(const pest::Dossier& dossier, const weather::HourlySeries& air, const weather::Site& site, int year) {
  phenology::SeasonRequest request;
  request.dossier = &dossier;
  request.air = &air;
  request.site = site;
  request.year = year;
  Generations out;
  for (const auto& generation : phenology::season(request).generations) {
    if (generation.complete_share >= 0.5 && out.full == out.with_partial) ++out.full;
    if (generation.complete_share < 0.05) break;
    ++out.with_partial;
  }
  return out;
}

Count count_generations(const pest::Dossier& dossier, const std::vector<Set>& sets, const weather::HourlySeries& air,
                        const weather::Site& site, int first_year, int last_year) {
  Count out;
  const auto wanted = [](int n) { return n == 3 || n == 4; };
  for (const Set& set : sets) {
    const pest::Dossier one = with_set(dossier, set);
    std::vector<int> years;
    for (int year = first_year; year <= last_year; ++year) {
      const Generations found = generations_of(one, air, site, year);
      years.push_back(found.full);
      ++out.full[found.full];
      ++out.with_partial[found.with_partial];
    }
    out.total += static_cast<int>(years.size());
    out.sets_always += std::all_of(years.begin(), years.end(), wanted) ? 1 : 0;
    std::sort(years.begin(), years.end());
    out.sets_median += wanted(years[years.size() / 2]) ? 1 : 0;
    ++out.sets;
  }
  return out;
}

std::string report(const Count& count, int first_year, int last_year) {
  char text[200];
  std::snprintf(text, sizeof text,
                "%d kept sets × %d years (%d–%d).\n\n| generations | seasons with so many full | with the partial one |\n|--:|--:|--:|\n",
                count.sets, last_year - first_year + 1, first_year, last_year);
  std::string out = text;
  const auto seasons = [](const std::map<int, int>& of, int n) { return of.contains(n) ? of.at(n) : 0; };
  for (int n = 0; n <= 12; ++n) {
    if (seasons(count.full, n) + seasons(count.with_partial, n) == 0) continue;
    std::snprintf(text, sizeof text, "| %d | %.1f %% | %.1f %% |\n", n, 100.0 * seasons(count.full, n) / count.total,
                  100.0 * seasons(count.with_partial, n) / count.total);
    out += text;
  }
  std::snprintf(text, sizeof text,
                "\nThree or four full: %.1f %% of seasons; %.1f %% of sets in their median year; %.1f %% of sets in every year. "
                "Three or four with the partial one: %.1f %% of seasons.\n",
                100.0 * (seasons(count.full, 3) + seasons(count.full, 4)) / count.total, 100.0 * count.sets_median / count.sets,
                100.0 * count.sets_always / count.sets,
                100.0 * (seasons(count.with_partial, 3) + seasons(count.with_partial, 4)) / count.total);
  return out + text;
}

}  // namespace leafturn::fit
