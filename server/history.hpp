#pragma once
/// What has been written down about one bed, latest first.

#include <string>
#include <vector>

#include "core/garden/garden.hpp"
#include "core/pest/dossier.hpp"
#include "server/names.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

/// `events`: those that tell of the bed, in ledger order (OpenGarden::told_of). JSON text `[{id, seq, kind, at, by, by_name, text,
/// amendment, may_withdraw}]`: everything that happened by `at`; what an amendment put right is shown as it was, marked, beside the
/// amendment.
std::string history_json(const std::vector<garden::Recorded>& events, Instant at, const Zone& zone, const pest::Library& library,
                         const Names& names, const words::Style& style);

}  // namespace leafturn::server
