#pragma once
/// What was told with a question, put beside what the garden knows of itself.

#include "core/label/proposal.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::app {

/// Of produce, organic and enclosed the stricter of what is told and what `proposal` had; the rest is what is told. `looked`: when the
/// flowers around `place` were looked at.
void add_told(label::Proposal& proposal, const garden::Told& told, const std::string& place, const CivilTime& looked);

/// Cards name pests by EPPO code; a pest without one can't be on a card by name. `pest`: a dossier's name or a code.
std::string pest_code(const pest::Library& library, const std::string& pest);

}  // namespace leafturn::app
