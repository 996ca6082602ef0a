#pragma once
/// What the ledger knows around an application: what was sprayed there before and with what in it, what stands within drift, what is to be
/// set out next, whether a cover lies on the bed, what else was tried, what bed and garden say of themselves, what an agency answered.
/// Beside `proposal_for`, wherever an answer is acted on.

#include <map>

#include "core/decision/proposal.hpp"

namespace leafturn::decision {

/// How far a spray may drift in a light wind (common practice, no source); a card's own buffer counts where it is more.
inline constexpr Length usual_drift = Length::metres(3.0);
/// How long back what was tried counts.
inline constexpr int tried_within_days = 60;

/// Gap between two beds' sides; 0 where they touch or overlap.
Length gap_between(const garden::BedLaid& a, const garden::BedLaid& b);

/// `on` and `card` are those the proposal was made for; `cards` by the digest of their text.
void add_surroundings(label::Proposal& proposal, const garden::Garden& garden, const Zone& zone, const garden::Planting& planting,
                      Instant on, const label::Card& card, const std::map<Digest, label::Card>& cards);

}  // namespace leafturn::decision
