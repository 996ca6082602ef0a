#pragma once
/// The waits of a bed after a spray, as the ledger is asked about them before something is written down.

#include "app/open_garden.hpp"
#include "core/decision/clearance.hpp"
#include "core/garden/chronicle.hpp"

namespace leafturn::app {

/// When a bed is free, from what was sprayed there up to `at`. A spray that is planned and not begun keeps pickers out by the board, and
/// makes nothing unlawful.
Result<decision::BedClearance> clear_at(OpenGarden& garden, const garden::Garden& state, const std::string& bed, Instant at);

/// `treat.frees_bed` when an event would free a bed whose wait still runs: an amendment that moves a planting or a spray, a removal from
/// before a spray. Whoever was wrong waits, or has an authority's word. `state`: all that `chronicle` holds; `target`: what an amendment
/// names.
Status frees_no_bed(OpenGarden& garden, const garden::Chronicle& chronicle, const garden::Garden& state, const garden::Event& event,
                    const std::optional<garden::Recorded>& target, Instant now);

}  // namespace leafturn::app
