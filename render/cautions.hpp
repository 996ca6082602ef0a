#pragma once
/// The usual cautions, where a product is handled.

#include <string>
#include <vector>

#include "app/brief.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// All of them, in the order to read them before handling a product.
std::vector<std::string> product_cautions(const words::Style& style);
/// Those a brief needs: the label, the sign and the poison line when it speaks of a product; always that this is advice.
std::vector<std::string> cautions(const app::BriefAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
