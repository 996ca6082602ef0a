#include <gtest/gtest.h>
#include "io/dossier_toml.hpp"
TEST(Load, BuiltIn) {
  const auto lib = leafturn::io::built_in_library();
  if (!lib) FAIL() << lib.error().code << " " << lib.error().where.file << ":" << lib.error().where.line << " " << lib.error().where.field;
  EXPECT_EQ(lib->pests.size(), 3U);
}
