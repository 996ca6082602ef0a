// The rules beyond crop, rate and waiting times, one by one; the checks of the trade's published figures; and what a whole card must hold.
#include "core/label/active_amount.hpp"
#include "core/label/fields.hpp"
#include "core/label/mode_group.hpp"
#include "tests/label/random_cases.hpp"
#include "tests/support/check_rows.hpp"

namespace leafturn::label {
namespace {

using namespace test_cards;

struct Answer {
  State state = State::pass;
  std::string code = "nothing", remedy;
};
Answer answer(const Card& card, const Proposal& p, Rule rule) {
  const Judgement j = judge(card, p, library());
  const Outcome* o = outcome(j, rule);
  return o == nullptr ? Answer{} : Answer{o->state, o->reason.code, o->remedy.code};
}

Past past(const char* day, const char* product, std::vector<Active> actives = {}, const char* applied = nullptr) {
  Past p{*Date::parse(day), product};
  p.actives = std::move(actives);
  if (applied != nullptr) p.rate = rate(applied);
  return p;
}

TEST(WholeCard, IsAllowedWhenEverythingIsKept) {
  const Judgement j = judge(whole_card(), whole_proposal(), library());
  for (const Outcome& o : j.outcomes) EXPECT_EQ(o.state, State::pass) << word_for(o.rule) << " " << o.reason.code << " " << o.card_field;
  EXPECT_EQ(j.verdict, Verdict::allowed);
}

/// Every way of taking one line out of a whole card.
struct Removal {
  const char* line;
  void (*take)(Card&);
};
const Removal removals[] = {
    {"registration", [](Card& c) { c.registration.clear(); }},
    {"active", [](Card& c) { c.actives.clear(); }},
    {"exempt", [](Card& c) { c.exempt = {}; }},
    {"expires", [](Card& c) { c.expires = {}; }},
    {"restricted_use", [](Card& c) { c.restricted_use = {}; }},
    {"signal_word", [](Card& c) { c.signal = {}; }},
    {"first_aid", [](Card& c) { c.first_aid = {}; }},
    {"emergency", [](Card& c) { c.emergency = {}; }},
    {"ppe_handler", [](Card& c) { c.ppe_handler = {}; }},
    {"agricultural_use", [](Card& c) { c.agricultural_use = {}; }},
    {"ppe_early_entry", [](Card& c) { c.ppe_early_entry = {}; }},
    {"setting", [](Card& c) { c.setting = {}; }},
    {"registered_in", [](Card& c) { c.registered_in = {}; }},
    {"organic_listed", [](Card& c) { c.organic_listed = {}; }},
    {"bees", [](Card& c) { c.conditions.bees = {}; }},
    {"min_temp", [](Card& c) { c.conditions.temp_min = {}; }},
    {"max_temp", [](Card& c) { c.conditions.temp_max = {}; }},
    {"min_humidity", [](Card& c) { c.conditions.humidity_min = {}; }},
    {"min_wind", [](Card& c) { c.conditions.wind_min = {}; }},
    {"max_wind", [](Card& c) { c.conditions.wind_max = {}; }},
    {"inversion_ban", [](Card& c) { c.conditions.inversion_ban = {}; }},
    {"droplets", [](Card& c) { c.conditions.droplets = {}; }},
    {"buffer", [](Card& c) { c.conditions.buffer = {}; }},
    {"water_buffer", [](Card& c) { c.conditions.water_buffer = {}; }},
    {"rainfast_hours", [](Card& c) { c.conditions.rainfast_hours = {}; }},
    {"oil_sulfur_days", [](Card& c) { c.conditions.oil_sulfur_days = {}; }},
    {"method", [](Card& c) { c.uses[0].method = {}; }},
    {"pests", [](Card& c) { c.uses[0].pests = {}; }},
    {"rate.min", [](Card& c) { c.uses[0].rate_min = {}; }},
    {"rate.max", [](Card& c) { c.uses[0].rate_max = {}; }},
    {"water.min", [](Card& c) { c.uses[0].water_min = {}; }},
    {"water.max", [](Card& c) { c.uses[0].water_max = {}; }},
    {"adjuvant", [](Card& c) { c.uses[0].adjuvant = {}; }},
    {"growth_stage", [](Card& c) { c.uses[0].growth_stage = {}; }},
    {"bloom_ban", [](Card& c) { c.uses[0].bloom_ban = {}; }},
    {"greenhouse", [](Card& c) { c.uses[0].greenhouse = {}; }},
    {"reentry_hours", [](Card& c) { c.uses[0].reentry = {}; }},
    {"pre_harvest_days", [](Card& c) { c.uses[0].pre_harvest_days = {}; }},
    {"feed_days", [](Card& c) { c.uses[0].feed_days = {}; }},
    {"interval_days", [](Card& c) { c.uses[0].interval_days = {}; }},
    {"max_applications", [](Card& c) { c.uses[0].max_applications = {}; }},
    {"max_consecutive", [](Card& c) { c.uses[0].max_consecutive = {}; }},
    {"max_product", [](Card& c) { c.uses[0].max_product = {}; }},
    {"max_active", [](Card& c) { c.uses[0].max_active = {}; }},
    {"plant_back", [](Card& c) { c.uses[0].plant_back = {}; }},
    {"storage", [](Card& c) { c.storage = {}; }},
    {"disposal", [](Card& c) { c.disposal = {}; }},
};

TEST(WholeCard, AnyLineTakenOutIsUnknown) {
  for (const Removal& removal : removals) {
    Card c = whole_card();
    removal.take(c);
    const Judgement j = judge(c, whole_proposal(), library());
    EXPECT_EQ(j.verdict, Verdict::unknown) << removal.line;
    EXPECT_FALSE(j.outcomes.front().remedy.code.empty()) << removal.line;
  }
  // Every line of the form is taken out above, and 'the label says none' of it is copied.
  ASSERT_EQ(card_fields().size(), std::size(removals));
  for (const CardField& field : card_fields()) {
    EXPECT_TRUE(is_copied(whole_card(), field, 0)) << field.key;
    const auto* found = std::find_if(std::begin(removals), std::end(removals), [&](const Removal& r) { return field.key == r.line; });
    ASSERT_NE(found, std::end(removals)) << field.key;
    Card c = whole_card();
    found->take(c);
    EXPECT_FALSE(is_copied(c, field, 0)) << field.key;
  }
}

TEST(WholeCard, IsCheckedByASecondPerson) {
  Card c = whole_card();
  c.checked_by.clear();
  EXPECT_EQ(answer(c, whole_proposal(), Rule::other).code, "judge.card.not_checked");
  c = whole_card();
  c.exempt = Stated<bool>::given(true);
  c.registration.clear();
  EXPECT_EQ(judge(c, whole_proposal(), library()).verdict, Verdict::allowed);
}

TEST(Rules, EveryAnswerThatIsNoPassSaysWhatToDo) {
  for (int i = 0; i < 5000; ++i) {
    Dice dice(seed_of_run() + 5, i);
    const auto [card, p] = random_case(dice);
    for (const Outcome& o : judge(card, p, library()).outcomes) EXPECT_EQ(o.remedy.code.empty(), o.state == State::pass) << o.reason.code;
  }
}

TEST(Rules, APestNotOnTheLabelDependsOnThePlace) {
  Card c = full_card();
  c.uses[0].pests = Stated<std::vector<PestDirection>>::given({{"PIERRA", {}, {}}});
  Proposal p = full_proposal();
  p.pest = "PLUTMA";
  p.jurisdiction = "US-WI";
  EXPECT_EQ(answer(c, p, Rule::pest).code, "judge.pest.not_listed_us");
  p.jurisdiction = "EU-FR";
  EXPECT_EQ(answer(c, p, Rule::pest).state, State::refused);
  p.jurisdiction = "other";
  EXPECT_EQ(answer(c, p, Rule::pest).state, State::refused);
  p.jurisdiction = "";
  EXPECT_EQ(answer(c, p, Rule::pest).state, State::unknown);
  p.jurisdiction.reset();
  EXPECT_EQ(answer(c, p, Rule::pest).state, State::unknown);
  c.uses.push_back(c.uses[0]);
  c.uses[1].pests = Stated<std::vector<PestDirection>>::given({{"PLUTMA", {}, rate("1.2 floz/gal")}});
  EXPECT_EQ(answer(c, p, Rule::pest).code, "judge.pest.listed");
  // Its own highest rate counts for that pest.
  EXPECT_EQ(answer(c, p, Rule::rate).code, "judge.rate.above");
}

TEST(Rules, AnAmountOfActiveIsSharedByEveryCardThatHoldsIt) {
  Card c = full_card();
  c.actives = {{"spinosad", "120 g/L", "5"}};
  c.uses[0].max_active = Stated<AmountLimit>::given({rate("100 g/acre"), Scope::season});
  c.uses[0].rate_max = c.uses[0].rate_min = Stated<ProductRate>::none_stated();
  Proposal p = full_proposal();
  p.rate = rate("400 ml/acre");  // 48 g
  p.history = {past("2025-05-20", "Another", {{"Spinosad", "240 g/L", "5"}}, "200 ml/acre")};
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.within");
  p.history->push_back(past("2025-05-28", "Another", {{"spinosad", "240 g/L", "5"}}, "20 ml/acre"));
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.above");
  p.history->back().on = *Date::parse("2024-05-28");
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.within");
  p.history->push_back(past("2025-05-28", "No card"));
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.not_known");
  p.history->back().actives = {{"pyrethrins", "", "3A"}};
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.within");
  // By volume of spray it takes the spray per area to know.
  p.rate = rate("1 floz/gal");
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.not_known");
  p.water = 0.0187;  // about 20 gal/acre, 71 g
  EXPECT_EQ(answer(c, p, Rule::amount).code, "judge.amount.above");
}

TEST(Rules, ContentIsReadByVolumeAndByWeight) {
  EXPECT_NEAR(*read_content("120 g/L")->grams_per_litre, 120.0, 1e-9);
  EXPECT_NEAR(*read_content("4 lb/gal")->grams_per_litre, 4 * 453.59237 / 3.785411784, 1e-9);
  EXPECT_NEAR(*read_content("54 %")->share, 0.54, 1e-12);
  EXPECT_NEAR(*read_content("500 g/kg")->share, 0.5, 1e-12);
  EXPECT_FALSE(read_content("32000 IU/mg"));
  EXPECT_FALSE(read_content(""));
}

TEST(Rules, HomeGardenProductsWhereProduceIsSoldWaitForTheAgency) {
  Card c = full_card();
  c.setting = Stated<CardSetting>::given(CardSetting::residential);
  Proposal p = full_proposal();
  p.produce = Produce::sold;
  EXPECT_EQ(answer(c, p, Rule::sale).code, "judge.sale.no_answer");
  EXPECT_EQ(answer(c, p, Rule::sale).remedy, "remedy.ask_state");
  p.produce = Produce::given;
  EXPECT_EQ(answer(c, p, Rule::sale).state, State::refused);
  p.agency = AgencyAnswer{false, *Date::parse("2025-05-01"), "no"};
  EXPECT_EQ(answer(c, p, Rule::sale).code, "judge.sale.agency_refuses");
  p.agency->allows = true;
  EXPECT_EQ(answer(c, p, Rule::sale).code, "judge.sale.agency_allows");
  p.setting = garden::Setting::agricultural;
  EXPECT_EQ(answer(c, p, Rule::setting).code, "judge.sale.agency_allows");
  p.produce = Produce::kept;
  EXPECT_EQ(answer(c, p, Rule::sale).state, State::pass);
}

TEST(Rules, OpenFlowersCloseTheSprayAndAnAnswerLastsTwelveHours) {
  Card c = full_card();
  c.conditions.bees = Stated<Bees>::given(Bees::open_flowers);
  Proposal p = full_proposal();  // 16:30
  EXPECT_EQ(answer(c, p, Rule::bees).code, "judge.other.bees_flowers");
  const auto seen = [&](BloomLook::Seen what, const char* when) {
    p.bloom = std::vector<BloomLook>{{what, "bed 2", at(when).time}};
    return answer(c, p, Rule::bees).code;
  };
  EXPECT_EQ(seen(BloomLook::Seen::none, "2025-06-10T04:30"), "judge.bees.nothing_open");
  EXPECT_EQ(seen(BloomLook::Seen::none, "2025-06-10T04:29"), "judge.bees.look");
  EXPECT_EQ(seen(BloomLook::Seen::open, "2025-06-10T16:00"), "judge.bees.open_flowers");
  c.conditions.bees = Stated<Bees>::given(Bees::foraging);
  EXPECT_EQ(seen(BloomLook::Seen::open, "2025-06-10T16:00"), "judge.bees.when_gone");
  EXPECT_EQ(seen(BloomLook::Seen::open_cucurbit, "2025-06-10T16:00"), "judge.bees.when_gone");
  p.on = at("2025-06-10T05:30");
  EXPECT_EQ(seen(BloomLook::Seen::open_cucurbit, "2025-06-10T05:00"), "judge.bees.cucurbit_morning");
}

TEST(Rules, NeighboursAreJudgedAsIfSprayed) {
  const Card c = full_card();  // BRSOA, 3 days
  Proposal p = full_proposal();
  p.neighbours = {{"2", "BRSOA", {at("2025-06-12")}, true},
                  {"3", "LYPES", {at("2025-06-12")}},
                  {"4", "BRSOA", {at("2025-06-20")}},
                  {"5", "BRSOA", {at("2025-06-12")}}};
  const Judgement j = judge(c, p, library());
  std::vector<std::string> codes;
  for (const Outcome& o : j.outcomes)
    if (o.rule == Rule::drift) codes.push_back(o.reason.code);
  EXPECT_EQ(codes,
            (std::vector<std::string>{"judge.drift.too_soon", "judge.drift.not_listed", "judge.drift.too_soon", "judge.drift.clear"}));
  EXPECT_EQ(j.verdict, Verdict::refused);
  p.neighbours.front().downwind = false;
  EXPECT_EQ(judge(c, p, library()).verdict, Verdict::conditional);
}

TEST(Rules, ATankWaitsForItsLongest) {
  const Card one = full_card();
  Card two = full_card();
  two.product = "Demo Spin Two";
  two.uses[0].pre_harvest_days = Stated<double>::given(7);
  two.uses[0].reentry = Stated<Reentry>::given({4, false});
  const Card* both[] = {&one, &two};
  const Judgement j = judge_tank(both, full_proposal(), library());
  EXPECT_EQ(j.verdict, Verdict::allowed);
  EXPECT_EQ(j.earliest_harvest->iso(), "2025-06-17T16:30:00");
  EXPECT_EQ(j.reentry->iso(), "2025-06-11T04:30:00");
  two.uses[0].pre_harvest_days = {};
  EXPECT_FALSE(judge_tank(both, full_proposal(), library()).earliest_harvest);
  EXPECT_EQ(judge_tank(both, full_proposal(), library()).verdict, Verdict::unknown);
}

// spray-practice.md 9, row 56.
TEST(Rules, AGroupUsedOnOneGenerationIsNotMetByTheNext) {
  Card c = full_card();
  c.actives = {{"spinosad", "120 g/L", "5"}};
  Proposal p = full_proposal();
  for (const char* start : {"2025-04-01", "2025-05-01", "2025-06-01", "2025-07-01", "2025-08-01"})
    p.generations.push_back(*Date::parse(start));
  p.history = {past("2025-06-10", "Another", {{"spinetoram", "", "5"}})};  // generation 3
  const auto in = [&](const char* day) {
    p.on = at(day);
    return answer(c, p, Rule::rotation).state == State::pass ? 0.0 : 1.0;
  };
  constexpr const char* source = "IRAC, modes of action page: the next generation must not meet the same mode of action";
  test::check_row({"moa.next_generation", "group 5 in generation 3, asked for generation 4: warned (1)", source, "seen",
                   test::From::published, 1, 0, ""},
                  in("2025-07-20"));
  test::check_row({"moa.generation_after", "group 5 in generation 3, asked for generation 5: free (0)", source, "seen",
                   test::From::published, 0, 0, ""},
                  in("2025-08-20"));
  EXPECT_EQ(in("2025-06-25"), 0.0);  // several sprays of one group may fall in one generation's window
  p.history->front().actives = {{"malathion", "", "1B"}};
  c.actives = {{"carbaryl", "", "1A"}};
  EXPECT_EQ(in("2025-07-20"), 1.0);  // 1A and 1B are one
  p.history->front().actives = c.actives = {{"azadirachtin", "", "UN"}};
  EXPECT_EQ(in("2025-07-20"), 0.0);
  EXPECT_EQ(counted_group("4A"), "4");
  EXPECT_EQ(counted_group("28"), "28");
  EXPECT_EQ(counted_group("UNM"), "");
}

// spray-practice.md 9, row 57.
TEST(Rules, AGroupCoversAtMostHalfTheCropsLife) {
  Card c = full_card();
  c.actives = {{"chlorantraniliprole", "200 g/L", "28"}};
  Proposal p = full_proposal();
  p.cycle_days = 60;
  p.generation_days = 16;
  p.history = {past("2025-05-04", "Demo Oil One", c.actives)};  // 37 days: two windows back, not the one before
  const Judgement j = judge(c, p, library());
  const Outcome* o = outcome(j, Rule::rotation);
  ASSERT_NE(o, nullptr);
  EXPECT_EQ(o->reason.code, "judge.rotation.half_the_crop");
  test::check_row({"moa.half_the_crop", "crop of 60 d, group 28 in two windows of 16 d: share of the crop's life, over half is warned",
                   "CropLife Australia, brassica diamondback moth strategy 2017", "seen", test::From::published, 32.0 / 60.0, 1e-9, ""},
                  std::get<Share>(o->reason.facts.front().value).value);
}

// spray-practice.md 9, row 60.
TEST(Rules, TheSeventhQuarterPoundIsRefused) {
  Card c = full_card();
  c.actives = {{"malathion", "25 %", "1B"}};
  Use& u = c.uses[0];
  u.max_active = Stated<AmountLimit>::given({rate("1.5 lb/acre"), Scope::season});
  u.rate_min = u.rate_max = Stated<ProductRate>::none_stated();
  u.max_applications = Stated<int>::none_stated();
  Proposal p = full_proposal();
  p.rate = rate("1 lb/acre");
  p.history.emplace();
  int allowed = 0;
  for (; allowed < 20 && answer(c, p, Rule::amount).state == State::pass; ++allowed) {
    Past done{*Date::parse("2025-03-01") + Days{7 * allowed}, c.product};
    done.rate = p.rate;
    p.history->push_back(done);
  }
  test::check_row({"cap.active", "season cap 1.5 lb ai/acre, 0.25 lb ai/acre each: applications allowed before one is refused",
                   "1.5 / 0.25 (arithmetic)", "derived", test::From::independent, 6, 0, ""},
                  allowed);
  EXPECT_EQ(answer(c, p, Rule::amount).state, State::refused);
}

// spray-practice.md 9, row 61.
TEST(Rules, NobodyStandsInTheExclusionZone) {
  const auto feet = [](std::optional<Droplets> droplets, double inches) {
    return exclusion_distance(droplets, Length::inches(inches)).feet();
  };
  constexpr const char* source = "40 CFR 170.405(a)";
  test::check_row({"zone.fine", "exclusion distance, fine droplets", source, "seen", test::From::published, 100, 1e-9, "ft"},
                  feet(Droplets::fine, 10));
  test::check_row(
      {"zone.medium_high", "exclusion distance, medium droplets at 18 in", source, "seen", test::From::published, 25, 1e-9, "ft"},
      feet(Droplets::medium, 18));
  test::check_row({"zone.medium_low", "exclusion distance, medium droplets at 10 in", source, "seen", test::From::published, 0, 1e-9, "ft"},
                  feet(Droplets::medium, 10));
  EXPECT_NEAR(exclusion_distance({}, {}).feet(), 100.0, 1e-9);
  Proposal p = full_proposal();
  p.droplets = Droplets::medium;
  p.nearest_person = Length::feet(24);
  EXPECT_EQ(answer(full_card(), p, Rule::exclusion).state, State::refused);
  p.nearest_person = Length::feet(25);
  EXPECT_EQ(answer(full_card(), p, Rule::exclusion).state, State::pass);
}

// spray-practice.md 9, row 62.
TEST(Rules, OilAndSulfurAreKeptApart) {
  Card c = full_card();
  c.actives = {{"mineral oil", "97 %", "UNM"}};
  Proposal p = full_proposal();
  p.history = {past("2025-06-01", "Sulfur", {{"sulfur", "80 %", ""}})};
  const auto warned = [&](const char* day) {
    p.on = at(day);
    return answer(c, p, Rule::oil_sulfur).state == State::pass ? 0.0 : 1.0;
  };
  constexpr const char* source = "Washington State University Extension, horticultural spray oil damage (2013, 2022): 2 to 4 weeks";
  test::check_row({"oil_sulfur.19d", "sulfur 2025-06-01, oil on 2025-06-20: warned (1)", source, "seen", test::From::published, 1, 0, ""},
                  warned("2025-06-20"));
  EXPECT_EQ(warned("2025-06-28"), 1.0);
  test::check_row({"oil_sulfur.28d", "sulfur 2025-06-01, oil on 2025-06-29: clear (0)", source, "seen", test::From::published, 0, 0, ""},
                  warned("2025-06-29"));
  c.conditions.oil_sulfur_days = Stated<double>::given(30);
  p.on = at("2025-06-30");
  EXPECT_EQ(answer(c, p, Rule::oil_sulfur).state, State::refused);
}

}  // namespace
}  // namespace leafturn::label
