#include "core/population/world.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "io/dossier_toml.hpp"

namespace leafturn::population {
namespace {

const pest::Library& library() {
  static const pest::Library read = *io::built_in_library();
  return read;
}

Date day(int month, int of_month) { return *Date::from_ymd(2026, month, of_month); }
Instant at(Date date, int hour) { return Zone{}.instant({date, hour * 3600}); }
Id id(std::uint8_t number) {
  Id made;
  made.bytes[15] = number;
  return made;
}

// Two beds of kale, one set out in May, the other in June and pulled in July; squash in a third.
garden::Garden kale_garden() {
  garden::Garden g;
  for (int b = 0; b < 3; ++b)
    g.beds.push_back({std::to_string(b + 1), Length::metres(3.0 * b), Length::metres(0.0), Length::metres(1.0), Length::metres(6.0)});
  const auto add = [&](const char* name, const char* bed, const char* crop, std::optional<int> plants, Date out) {
    garden::Planting planting;
    planting.sown = {name, bed, crop, plants, out, std::nullopt, std::nullopt};
    planting.at = at(out, 12);
    planting.id = id(static_cast<std::uint8_t>(g.plantings.size() + 1));
    g.plantings.push_back(planting);
  };
  add("kale-1", "1", "BRSOA", 30, day(5, 4));
  add("kale-2", "2", "BRSOA", std::nullopt, day(6, 1));
  add("squash", "3", "CUUPE", 6, day(5, 20));
  return g;
}

template <class T>
garden::Dated<T> dated(T what, Instant when, std::uint8_t number) {
  garden::Dated<T> told;
  told.what = std::move(what);
  told.at = when;
  told.id = id(number);
  return told;
}

void work(garden::Garden& g, garden::WorkDone::Kind kind, const char* bed, Instant when, std::uint8_t number) {
  g.work.push_back(dated<garden::WorkDone>({kind, bed, ""}, when, number));
  if (kind != garden::WorkDone::Kind::pull) return;
  // As a chronicle lays it out: the pull ends what stands there.
  std::vector<garden::Planting> plantings(g.plantings.begin(), g.plantings.end());
  for (garden::Planting& planting : plantings)
    if (planting.sown.bed == bed && !planting.removed) planting.removed = when;
  g.plantings = SharedList<garden::Planting>(std::move(plantings));
}

void count(garden::Garden& g, const char* bed, const char* stage, int plants, int found, Instant when) {
  g.counts.push_back(
      dated<garden::CountTaken>({bed, "PIERRA", stage, plants, found}, when, static_cast<std::uint8_t>(100 + g.counts.size())));
}

struct Asked {
  Life life = life_of(*library().pest("imported-cabbageworm"));
  std::map<Id, std::vector<std::string>> actives;
  WorldFound find(const garden::Garden& g, Date today) const {
    WorldRequest request;
    request.garden = &g;
    request.library = &library();
    request.life = &life;
    request.actives = actives;
    request.site = {Angle::degrees(43.0), Angle::degrees(-88.0), Length::metres(200.0)};
    request.today = today;
    return world_of(request);
  }
};

TEST(World, BeginsWithTheFirstHostAndKnowsWhatStoodWhen) {
  garden::Garden g = kale_garden();
  work(g, garden::WorkDone::Kind::pull, "2", at(day(7, 10), 9), 50);
  const World world = Asked{}.find(g, day(7, 20)).world;
  EXPECT_EQ(world.first, day(5, 4));
  EXPECT_EQ(world.days, 77 + 21 + 1);
  const auto plants = [&](Date d, std::size_t bed) { return world.on((d - world.first).count, bed).plants; };
  EXPECT_FLOAT_EQ(plants(day(5, 4), 0), 30.0F);
  EXPECT_FLOAT_EQ(plants(day(5, 31), 1), 0.0F);
  EXPECT_FLOAT_EQ(plants(day(6, 1), 1), 24.0F);  // nobody said: four a square metre
  EXPECT_FLOAT_EQ(plants(day(7, 10), 1), 0.0F);
  EXPECT_FLOAT_EQ(plants(day(7, 30), 0), 30.0F);
  EXPECT_FLOAT_EQ(plants(day(7, 1), 2), 0.0F);  // squash is no host of it
}

TEST(World, CountsThatCanNotBeUsedAreGivenBackWithTheirReason) {
  garden::Garden g = kale_garden();
  work(g, garden::WorkDone::Kind::pull, "2", at(day(7, 10), 9), 50);
  count(g, "1", "larva", 20, 4, at(day(6, 10), 8));
  count(g, "2", "larva", 20, 4, at(day(5, 20), 8));   // before anything stood there
  count(g, "2", "larva", 20, 4, at(day(7, 14), 8));   // after it was pulled
  count(g, "3", "larva", 6, 1, at(day(6, 10), 8));    // squash
  count(g, "1", "beetle", 20, 1, at(day(6, 11), 8));  // it has none
  const WorldFound found = Asked{}.find(g, day(7, 20));
  ASSERT_EQ(found.sightings.size(), 1U);
  EXPECT_EQ(found.sightings[0].at, (day(6, 10) - day(5, 4)).count * steps_a_day + 3);
  EXPECT_EQ(found.sightings[0].stages.size(), 5U);
  std::vector<std::string> codes;
  for (const Reason& reason : found.left_out) codes.push_back(reason.code);
  std::sort(codes.begin(), codes.end());
  EXPECT_EQ(codes, (std::vector<std::string>{"population.count_of_nothing", "population.count_without_host",
                                             "population.count_without_host", "population.count_without_host"}));
}

TEST(World, ACountOnTheMorningOfThePullIsUsed) {
  garden::Garden g = kale_garden();
  work(g, garden::WorkDone::Kind::pull, "2", at(day(7, 10), 15), 50);
  count(g, "2", "larva", 20, 4, at(day(7, 10), 8));
  EXPECT_EQ(Asked{}.find(g, day(7, 20)).sightings.size(), 1U);
}

TEST(World, WorkTakesWhatItsSourceSaysAndNothingElse) {
  garden::Garden g = kale_garden();
  work(g, garden::WorkDone::Kind::hand_pick, "1", at(day(6, 10), 9), 50);
  work(g, garden::WorkDone::Kind::water, "1", at(day(6, 11), 9), 51);  // no source for caterpillars
  const WorldFound found = Asked{}.find(g, day(6, 20));
  ASSERT_EQ(found.world.deeds.size(), 1U);
  const Deed& picked = found.world.deeds.front();
  EXPECT_TRUE(picked.known);
  EXPECT_FLOAT_EQ(picked.high[0], 0.0F);  // eggs stay
  EXPECT_FLOAT_EQ(picked.low[3], 0.5F);
  EXPECT_FLOAT_EQ(picked.high[3], 0.9F);
  ASSERT_EQ(found.left_out.size(), 1U);
  EXPECT_EQ(found.left_out.front().code, "population.work_without_effect");
}

TEST(World, SpraysGoByTheirActives) {
  garden::Garden g = kale_garden();
  const auto spray = [&](std::uint8_t number, Date when) {
    garden::Application made;
    made.bed = "1";
    made.product = "Demo";
    g.applications.push_back(dated(made, at(when, 18), number));
  };
  spray(60, day(6, 10));
  spray(61, day(6, 20));
  spray(62, day(6, 25));
  Asked asked;
  asked.actives[id(60)] = {"spinosad"};
  asked.actives[id(61)] = {"lambda-cyhalothrin"};  // no trial on it was read: a rating from memory
  const auto deeds = asked.find(g, day(7, 1)).world.deeds;
  ASSERT_EQ(deeds.size(), 3U);
  EXPECT_TRUE(deeds[0].known);
  EXPECT_FLOAT_EQ(deeds[0].low[3], 0.739F);
  EXPECT_GT(deeds[0].half_life_days, 1.0);
  EXPECT_TRUE(deeds[1].known);
  EXPECT_GT(deeds[1].enemies_killed, 0.5);
  EXPECT_NEAR(deeds[1].half_life_days, 5.0, 1e-9);  // spray-practice.md 5.3, seen
  EXPECT_NEAR(deeds[1].wash_off, 0.4, 1e-9);
  EXPECT_FALSE(deeds[2].known);  // nobody knows what was in it: anything from nothing up
  EXPECT_FLOAT_EQ(deeds[2].low[3], 0.0F);
  EXPECT_GT(deeds[2].high[3], 0.3F);
  EXPECT_TRUE(deed_for(asked.life, library(), Deed::Kind::kill, "lambda-cyhalothrin", true));
  EXPECT_FALSE(deed_for(asked.life, library(), Deed::Kind::kill, "copper octanoate", true));  // nobody rated it
}

TEST(World, MassesHoldTheirEggs) {
  garden::Garden g = kale_garden();
  g.counts.push_back(dated<garden::CountTaken>({"1", "harlequin-bug", "egg-mass", 20, 2}, at(day(6, 10), 8), 100));
  Asked asked;
  asked.life = life_of(*library().pest("harlequin-bug"));
  const WorldFound found = asked.find(g, day(7, 1));
  ASSERT_EQ(found.sightings.size(), 1U);
  EXPECT_DOUBLE_EQ(found.sightings[0].in_one, library().pest("harlequin-bug")->laying.per_mass->value);
}

}  // namespace
}  // namespace leafturn::population
