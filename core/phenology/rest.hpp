#pragma once
/// Who goes to rest when the days shorten: what season(), the hatch calendar and the population model share.

#include <optional>

#include "core/base/date.hpp"
#include "core/pest/dossier.hpp"
#include "core/phenology/chain.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::phenology {

/// Who decides and who rests, as indices of the dossier's stages; nothing where it has no diapause or names no such stage.
std::optional<RestRule> rest_rule(const pest::Dossier& dossier);

/// Share of those deciding on `date` that is bound to rest: Φ((critical − day length)/slope) while days shorten, else nobody.
double bound_share(const pest::Dossier& dossier, const weather::Site& site, Date date);

}  // namespace leafturn::phenology
