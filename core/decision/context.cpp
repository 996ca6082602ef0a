#include "core/decision/context.hpp"

#include "core/decision/day_calendars.hpp"

namespace leafturn::decision {

Context context_of(const BriefRequest& request) {
  Context context{&request, request.zone.civil(request.at).date, {}, {}};
  weather::Site site;
  if (const auto& described = request.garden->described) site = {described->latitude, described->longitude, described->elevation};
  context.air = air_in(request, site, context.today);
  if (!request.garden->described) context.air.members.clear();  // without a place there is no day length, so no calendar
  for (const pest::Dossier& dossier : request.library->pests)
    if (has_host(request, dossier, context.today)) context.timings.emplace(dossier.id, timing_in(request, dossier, context.air));
  return context;
}

BedContext bed_context(const Context& context, const std::string& bed) {
  const BriefRequest& request = *context.request;
  BedContext out{&context, bed, request.garden->standing(bed, request.at, context.today), {}};
  out.clearance = clearance(request, bed, out.standing);
  return out;
}

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
