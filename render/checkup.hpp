#pragma once
/// What `ledger restore`, `ledger guests` and `doctor` found.

#include <string>
#include <vector>

#include "app/doctor.hpp"
#include "app/restore.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// `now`: how old the last event is is told from it.
std::string restored_json(const app::Restored& restored, Instant now, const words::Style& style);
std::string restored_text(const app::Restored& restored, Instant now, const words::Style& style);

std::string guests_json(const std::vector<store::Guest>& guests);
std::string guests_text(const std::vector<store::Guest>& guests, const words::Style& style);

/// {"ok", "checks": [{"check", "state": good|look|bad, "text", "do"}]}
std::string checkup_json(const app::Checkup& checkup, const words::Style& style);
std::string checkup_text(const app::Checkup& checkup, const words::Style& style);

/// `good`, `look`, `bad`.
const char* state_word(app::Finding::State state);

}  // namespace leafturn::render
