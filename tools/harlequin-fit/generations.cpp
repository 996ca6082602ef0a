#include "tools/harlequin-fit/generations.hpp"

#include <algorithm>
#include <cstdio>

#include "core/phenology/cohort.hpp"

namespace leafturn::fit {

pest::Dossier with_set(const pest::Dossier& dossier, const Set& set) {
  pest::Dossier out = dossier;
  for (pest::Stage& stage : out.stages) {
    stage.rate.lower.value = Temperature::celsius(set.lower_c);
    double heat = (set.egg_to_adult - set.egg) / 5.0;
    if (stage.group == pest::StageGroup::egg) heat = set.egg;
    if (stage.key == "adult-new") heat = set.before_laying;
    if (stage.key == "adult-laying") heat = laying_days * (laying_at_c - set.lower_c);
    stage.rate.constant.value = DegreeDays::celsius_days(heat);
  }
  return out;
}

int full_generations(const pest::Dossier& dossier, const weather::HourlySeries& air, const weather::Site& site, int year) {
  phenology::SeasonRequest request;
  request.dossier = &dossier;
  request.air = &air;
  request.site = site;
  request.year = year;
  int full = 0;
  for (const auto& generation : phenology::season(request).generations) {
    if (generation.complete_share < 0.5) break;
    ++full;
  }
  return full;
}

Count count_generations(const pest::Dossier& dossier, const std::vector<Set>& sets, const weather::HourlySeries& air,
                        const weather::Site& site, int first_year, int last_year) {
  Count out;
  const auto wanted = [](int n) { return n == 3 || n == 4; };
  for (const Set& set : sets) {
    const pest::Dossier one = with_set(dossier, set);
    std::vector<int> years;
    for (int year = first_year; year <= last_year; ++year) years.push_back(full_generations(one, air, site, year));
    for (const int n : years) ++out.seasons[n];
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
  std::snprintf(text, sizeof text, "%d kept sets × %d years (%d–%d).\n\n| full generations | seasons | share |\n|--:|--:|--:|\n",
                count.sets, last_year - first_year + 1, first_year, last_year);
  std::string out = text;
  int wanted = 0;
  for (const auto& [n, seasons] : count.seasons) {
    std::snprintf(text, sizeof text, "| %d | %d | %.1f %% |\n", n, seasons, 100.0 * seasons / count.total);
    out += text;
    if (n == 3 || n == 4) wanted += seasons;
  }
  std::snprintf(text, sizeof text,
                "\nThree or four: %.1f %% of seasons; %.1f %% of sets in the median year; %.1f %% of sets in every year.\n",
                100.0 * wanted / count.total, 100.0 * count.sets_median / count.sets, 100.0 * count.sets_always / count.sets);
  return out + text;
}

}  // namespace leafturn::fit
