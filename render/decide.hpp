#pragma once
/// The options of a bed side by side, and the risk of pulling it, as JSON and as text for a terminal (docs/commands.md).

#include <string>

#include "app/compare.hpp"
#include "app/pull.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string compare_json(const app::CompareAnswer& answer, const words::Style& style);
std::string compare_text(const app::CompareAnswer& answer, const words::Style& style);
std::string pull_json(const app::PullAnswer& answer, const words::Style& style);
std::string pull_text(const app::PullAnswer& answer, const words::Style& style);

/// `leaving it alone`, `Demo Spin Two`.
std::string name_of(const decision::Act& act, const words::Style& style);

}  // namespace leafturn::render
