#pragma once
/// Pieces of JSON about ledgers. Only *_json.cpp files include this.

#include <nlohmann/json.hpp>

#include "app/ledger_tools.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// {"events", "head", "ok", "damage", "notes"}
nlohmann::ordered_json verification_value(const store::Verification& verification, const words::Style& style);

}  // namespace leafturn::render
