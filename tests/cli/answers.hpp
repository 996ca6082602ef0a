#pragma once
/// The program asked as a person would, in English unless another language is named, and its JSON read back.

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/data.hpp"

namespace leafturn::test {

inline Run leafturn(std::vector<std::string> words, const char* language = "en") {
  words.insert(words.begin(), {"--lang", language});
  return run_program(LEAFTURN_PROGRAM, words);
}

inline nlohmann::json answer(std::vector<std::string> words) {
  words.push_back("--json");
  const auto run = leafturn(std::move(words));
  EXPECT_EQ(run.exit_code, 0) << run.err;
  nlohmann::json value = nlohmann::json::parse(run.out, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << run.out;
  return value;
}

}  // namespace leafturn::test
