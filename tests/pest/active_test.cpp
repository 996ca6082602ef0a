#include <gtest/gtest.h>

#include "core/pest/dossier.hpp"

namespace leafturn::pest {
namespace {

TEST(Actives, SpellingsOfOneActiveAreOne) {
  for (const char* name : {"Bacillus thuringiensis subsp. kurstaki", "bacillus thuringiensis kurstaki", "Bt kurstaki",
                           "B. thuringiensis ssp. kurstaki", "Bacillus thuringiensis var. kurstaki, strain ABC-351", "B.t. Kurstaki"})
    EXPECT_TRUE(same_active("Bacillus thuringiensis subsp. kurstaki", name)) << name;
  EXPECT_TRUE(same_active("Spinosad", "spinosad"));
}

TEST(Actives, DifferentActivesStayDifferent) {
  EXPECT_FALSE(same_active("Bt kurstaki", "Bt tenebrionis"));
  EXPECT_FALSE(same_active("Bacillus thuringiensis", "Bacillus thuringiensis subsp. kurstaki"));
  EXPECT_FALSE(same_active("spinosad", "spinetoram"));
  EXPECT_FALSE(same_active("pyrethrins", "permethrin"));
}

}  // namespace
}  // namespace leafturn::pest
