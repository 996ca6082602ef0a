#pragma once
/// The program asked as a person would, in English unless another language is named, and its JSON read back.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/support/data.hpp"

namespace leafturn::test {

Run leafturn(std::vector<std::string> words, const char* language = "en");
/// Of a run that must end well.
nlohmann::json answer(std::vector<std::string> words);

}  // namespace leafturn::test
