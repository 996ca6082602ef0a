#include "tests/cli/answers.hpp"

#include <gtest/gtest.h>

#include <utility>

namespace leafturn::test {

Run leafturn(std::vector<std::string> words, const char* language) {
  words.insert(words.begin(), {"--lang", language});
  return run_program(LEAFTURN_PROGRAM, words);
}

nlohmann::json answer(std::vector<std::string> words) {
  words.push_back("--json");
  const auto run = leafturn(std::move(words));
  EXPECT_EQ(run.exit_code, 0) << run.err;
  nlohmann::json value = nlohmann::json::parse(run.out, nullptr, false);
  EXPECT_FALSE(value.is_discarded()) << run.out;
  return value;
}

}  // namespace leafturn::test
