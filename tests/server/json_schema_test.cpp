// The checker itself: what it must refuse.
#include <gtest/gtest.h>

#include "tests/server/json_schema.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

std::size_t problems(const char* schema, const char* value) {
  return schema_problems(json::object(), json::parse(schema), json::parse(value)).size();
}

TEST(JsonSchema, refuses_what_does_not_fit) {
  EXPECT_EQ(problems(R"({"type":"string"})", "1"), 1U);
  EXPECT_EQ(problems(R"({"type":["string","null"]})", "null"), 0U);
  EXPECT_EQ(problems(R"({"type":"integer"})", "1.5"), 1U);
  EXPECT_EQ(problems(R"({"enum":["a"]})", R"("b")"), 1U);
  EXPECT_EQ(problems(R"({"type":"object","required":["a"]})", "{}"), 1U);
  EXPECT_EQ(problems(R"({"type":"object","properties":{"a":{"type":"string"}},"additionalProperties":false})", R"({"a":1,"b":2})"), 2U);
  EXPECT_EQ(problems(R"({"type":"array","items":{"minimum":0},"maxItems":1})", "[1,-1]"), 2U);
  EXPECT_EQ(problems(R"({"type":"string","pattern":"^[0-9]+$"})", R"("12x")"), 1U);
  EXPECT_EQ(problems(R"({"oneOf":[{"type":"null"},{"type":"string"}]})", "3"), 1U);
  EXPECT_EQ(problems(R"({"$ref":"#/nowhere"})", "3"), 1U);
}

TEST(JsonSchema, refuses_keywords_it_does_not_know) { EXPECT_EQ(problems(R"({"maxLength":3})", R"("long")"), 1U); }

}  // namespace
}  // namespace leafturn::test
