#pragma once
/// Whether a pest can be here in spring at all: a winter that kills, or a place where it never lasts one.

#include <optional>

#include "core/pest/dossier.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::phenology {

/// A night colder than the pest bears without shelter. The limit is the air temperature below which very many died somewhere; litter, snow
/// and walls keep some warmer, so it says 'not expected', never 'none'. A supercooling point is no such limit: many die well above it.
struct WinterCold {
  Temperature coldest;
  Date on;
  Temperature limit;
};

/// The coldest recorded night from 1 November before `day`'s year to `day`, at most to 31 May, if it was colder than
/// `Dossier::winter_kill`. A reading more than 15 K below both its neighbours is a slip of the station and kills nobody. Nothing where the
/// dossier has no limit or no night of that time was recorded.
std::optional<WinterCold> winter_kill(const pest::Dossier& dossier, const weather::DailySeries& recorded, Date day);

/// North of `Dossier::migrant_north_of`: it comes anew each year, so no calendar can start it without a find. 0 = everywhere.
bool comes_as_migrant(const pest::Dossier& dossier, const weather::Site& site);

}  // namespace leafturn::phenology
