#include <gtest/gtest.h>

#include "core/phenology/parameter_sets.hpp"
#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"
#include "tests/phenology/rate_forms.hpp"

namespace leafturn::phenology {
namespace {

using namespace test;

pest::Dossier invented() {
  pest::Dossier dossier;
  dossier.id = "invented";
  const auto stage = [&](const char* key, double lower, double constant, double share) {
    pest::Stage s;
    s.key = key;
    s.rate.model = linear(lower, constant);
    if (share > 0.0) s.share = pest::Sourced<double>{share, {}};
    dossier.stages.push_back(s);
  };
  stage("egg", 10, 50, 0.2);       // 5 d at 20 °C
  stage("larva-1", 10, 100, 0.4);  // 10 d
  stage("pupa", 10, 150, 0.2);     // 15 d
  stage("adult-new", 10, 70, 0.0);
  dossier.sets = {{"warm-1990", "elsewhere", "egg", "pupa", briere(6e-5, 9, 37), ""},
                  {"late-1991", "elsewhere", "pupa", "adult-new", linear(8, 240), ""},
                  {"crossed", "elsewhere", "pupa", "egg", linear(8, 240), ""}};
  return dossier;
}

TEST(RateSets, SharesOfTheSetAreThoseOfItsStages) {
  const auto other = with_set(invented(), "warm-1990");
  ASSERT_TRUE(other);
  EXPECT_EQ(other->set_used, "warm-1990");
  EXPECT_NEAR(other->stages[0].rate.share, 0.25, 1e-15);
  EXPECT_NEAR(other->stages[1].rate.share, 0.5, 1e-15);
  EXPECT_NEAR(other->stages[2].rate.share, 0.25, 1e-15);
  double days = 0.0;
  for (std::size_t s = 0; s < 3; ++s) days += days_at(other->stages[s].rate, celsius(27)).value();
  EXPECT_NEAR(days, days_at(briere(6e-5, 9, 37), celsius(27)).value(), 1e-10) << "together they take what the set says";
  EXPECT_NEAR(days_at(other->stages[3].rate, celsius(20)).value(), 7.0, 1e-12) << "a stage outside keeps its own";
}

TEST(RateSets, WithoutSharesTheDaysAtTwentyDegreesDivideIt) {
  const auto other = with_set(invented(), "late-1991");
  ASSERT_TRUE(other);
  EXPECT_NEAR(other->stages[2].rate.share, 15.0 / 22.0, 1e-12);
  EXPECT_NEAR(other->stages[3].rate.share, 7.0 / 22.0, 1e-12);
  EXPECT_NEAR(days_at(other->stages[2].rate, celsius(20)).value(), 20.0 * 15.0 / 22.0, 1e-10);
}

TEST(RateSets, NothingWhereItCannotBeSaid) {
  EXPECT_FALSE(with_set(invented(), "nobody-2000"));
  EXPECT_FALSE(with_set(invented(), "crossed"));
  auto cold = invented();
  cold.stages[3].rate.model = linear(22, 70);
  EXPECT_FALSE(with_set(cold, "late-1991")) << "its own rate gives no days at 20 C";
}

// The library's own sets, whatever they become: each can be put on, and the stages together take what it says.
TEST(RateSets, EverySetOfTheLibraryCanBePutOn) {
  const auto library = io::built_in_library();
  ASSERT_TRUE(library);
  for (const auto& pest : library->pests)
    for (const auto& set : pest.sets) {
      SCOPED_TRACE(pest.id + " " + set.id);
      const auto other = with_set(pest, set.id);
      ASSERT_TRUE(other);
      const auto whole = days_at(set.model, celsius(22));
      double days = 0.0;
      for (std::size_t s = *pest.stage_index(set.first); s <= *pest.stage_index(set.last); ++s)
        days += days_at(other->stages[s].rate, celsius(22)).value_or(0.0);
      EXPECT_NEAR(days, whole.value_or(0.0), 1e-9);
    }
}

}  // namespace
}  // namespace leafturn::phenology
