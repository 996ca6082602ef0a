#pragma once
// Development rates out of a dossier's TOML; for the readers of dossiers only.

#include "core/pest/dossier.hpp"
#include "io/dossier_fields_toml.hpp"

namespace leafturn::io::dossier {

/// The keys `form` asks for, and the source of the set.
pest::RateModel read_rate_form(Fields& f);
/// A stage's own rate: `lower_c` and `constant_dd` with a source each, or the table `rate`. Nothing when it only has a share.
std::optional<pest::RateModel> read_own_rate(Fields& stage);
pest::ParameterSet read_set(Fields& f);
/// Gives the stages that `set_used` covers their rates from it. Errors: `dossier.unknown_set`, `dossier.no_rate`, `dossier.two_rates`,
/// `dossier.set_stages`, `dossier.share_missing`.
void use_set(File& file, pest::Dossier& d, const std::vector<bool>& has_own, const toml::table& top);

}  // namespace leafturn::io::dossier
