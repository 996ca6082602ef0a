#pragma once
/// A pest as another population has it: the same dossier with the rates of one of its parameter sets.

#include <optional>
#include <string_view>

#include "core/pest/dossier.hpp"

namespace leafturn::phenology {

/// `dossier` with the stages that the set `id` covers taking the set's model, each its share of it, and `set_used` = `id`.
///
/// Shares are those of `Stage::share`, over their sum, where every covered stage has one. Where one has none, every covered stage takes its
/// part of the days that the dossier's own rates give at 20 °C, a temperature at which nearly all garden insects develop and none is hurt:
/// how a total divides among stages depends little on temperature, and shares of both kinds can't be added.
/// Nothing when no set has that id, its stages aren't in the dossier in that order, or own rates are needed and one gives none at 20 °C.
std::optional<pest::Dossier> with_set(const pest::Dossier& dossier, std::string_view id);

}  // namespace leafturn::phenology
