#include "app/outlook_order.hpp"

#include <algorithm>
#include <tuple>

namespace leafturn::app {
namespace {

constexpr double likelier_than_not = 0.5;

// The least presses most.
auto press(const PestInBed& pest) {
  const auto pass = passing(pest);
  const auto& today = pest.days.front().counted;
  const int kind = pass && pass->likely ? 0 : pass ? 1 : 2;
  return std::tuple{pest.counts == 0, kind, kind == 0 ? pass->on : Date{}, pass ? -pass->chance : 0.0, today ? -today->p50 : 0.0};
}

}  // namespace

std::optional<Passing> passing(const PestInBed& pest) {
  std::optional<Passing> best;
  for (const OutlookDay& day : pest.days) {
    if (!day.p_over) continue;
    if (best && *day.p_over <= best->chance) continue;
    best = Passing{day.date, *day.p_over, *day.p_over >= likelier_than_not};
    if (best->likely) break;
  }
  return best;
}

std::vector<Placed> worst_first(const OutlookAnswer& answer) {
  std::vector<Placed> out;
  for (const OutlookBed& bed : answer.beds)
    for (const PestInBed& pest : bed.pests) out.push_back({&bed, &pest});
  std::stable_sort(out.begin(), out.end(), [](const Placed& a, const Placed& b) { return press(*a.pest) < press(*b.pest); });
  return out;
}

}  // namespace leafturn::app
