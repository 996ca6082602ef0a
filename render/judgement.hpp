#pragma once
/// What a card allows: reasons first, then the word; and the usual cautions wherever a product is handled.

#include <string>

#include "app/judge_card.hpp"
#include "app/write_down.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string judgement_json(const app::JudgeAnswer& answer, const words::Style& style);
std::string judgement_text(const app::JudgeAnswer& answer, const words::Style& style);

/// For every planting of the bed, and whether it was written down. `zone`: the garden's.
std::string spray_json(const app::SprayOutcome& outcome, const Zone& zone, const words::Style& style);
std::string spray_text(const app::SprayOutcome& outcome, const Zone& zone, const words::Style& style);

}  // namespace leafturn::render
