#pragma once
/// What is on the product shelf, by lot.

#include <string>

#include "app/keep.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string shelf_text(const app::ShelfAnswer& answer, const words::Style& style);
/// [{"product", "lot", "left_l" or "left_g", "counted_l" or "counted_g", "negative", "expired", "opened", "expires"}]
std::string shelf_json(const app::ShelfAnswer& answer);

}  // namespace leafturn::render
