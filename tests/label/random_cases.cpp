#include "tests/label/random_cases.hpp"

#include <cstdio>
#include <cstdlib>

namespace leafturn::label::test_cards {
namespace {

const Date first_day = *Date::from_ymd(2025, 6, 10);

// Read once: parsing them a million times is most of the run otherwise.
const std::vector<ProductRate>& use_rates() {
  static const std::vector<ProductRate> rates = {rate("1 floz/gal"), rate("2 floz/gal"), rate("4 tbsp/gal"), rate("3 floz/gal"),
                                                 rate("1 floz/gal"), rate("2 qt/acre"),  rate("2 oz/gal")};
  return rates;
}
const std::vector<ProductRate>& asked_rates() {
  static const std::vector<ProductRate> rates = {rate("0.5 floz/gal"),  rate("1 floz/gal"),   rate("2 floz/gal"),
                                                 rate("2.01 floz/gal"), rate("2.5 floz/gal"), rate("8 tsp/gal"),
                                                 rate("1 qt/acre"),     rate("2 qt/acre"),    rate("1 oz/gal")};
  return rates;
}
const std::vector<AmountLimit>& product_limits() {
  static const std::vector<AmountLimit> limits = {{rate("2 qt/acre"), Scope::season},      {rate("4 qt/acre"), Scope::year},
                                                  {rate("3 qt/acre"), Scope::crop},        {rate("1 qt/acre"), Scope::application},
                                                  {rate("2 lb/acre"), Scope::application}, {rate("2 qt/acre"), Scope::crop}};
  return limits;
}
const std::vector<AmountLimit>& active_limits() {
  static const std::vector<AmountLimit> limits = {{rate("56.78117 g/acre"), Scope::season},
                                                  {rate("30 g/acre"), Scope::year},
                                                  {rate("20 g/acre"), Scope::application},
                                                  {rate("100 g/acre"), Scope::crop},
                                                  {rate("1 qt/acre"), Scope::season}};
  return limits;
}

const std::vector<std::vector<Active>>& mixtures() {
  static const std::vector<std::vector<Active>> lists = {
      {{"spinosad", "30 g/L", "5"}}, {{"spinosad", "30 g/L", "5"}},      {{"malathion", "30 g/L", "1B"}},
      {{"carbaryl", "25 %", "1A"}},  {{"azadirachtin", "10 g/L", "UN"}}, {{"mineral oil", "97 %", "UNM"}},
      {{"sulfur", "80 %", "M2"}},    {{"pyrethrins", "", ""}},           {{"spinosad", "30 g/L", "5"}, {"pyrethrins", "14 g/L", "3A"}},
  };
  return lists;
}

Use random_use(Dice& dice) {
  Use u;
  u.line = 1 + dice.below(90);
  static const std::vector<std::string> entries = {"BRSOA",       "BRSOA",      "BRSOA",      "BRSOK",   "LYPES",
                                                   "group:4-16B", "group:4-16", "group:5-16", "group:5", "group:8-10"};
  for (int n = 1 + dice.below(3); n > 0; --n) u.crops.push_back(dice.of(entries));
  if (dice.one_in(8)) u.except.push_back(dice.of(std::vector<std::string>{"BRSOA", "BRSJU"}));
  u.rate_min = dice.stated(use_rates());
  u.rate_max = dice.stated(use_rates());
  u.pre_harvest_days = dice.stated<double>({0, 1, 3, 7, 0.5});
  u.reentry = dice.stated<Reentry>({{4, false}, {12, false}, {48, false}, {0, true}});
  u.interval_days = dice.stated<double>({0, 5, 7, 14});
  u.max_applications = dice.stated<int>({1, 2, 3});
  u.method = dice.seldom<Method>({Method::foliar, Method::soil});
  if (dice.one_in(3))
    u.pests = dice.stated<std::vector<PestDirection>>(
        {{{"PLUTMA", {}, {}}}, {{"PIERRA", {}, use_rates()[0]}, {"PLUTMA", use_rates()[0], use_rates()[1]}}, {{"PIERRA", {}, {}}}});
  u.water_min = dice.seldom<double>({0.01, 0.02});
  u.water_max = dice.seldom<double>({0.03, 0.05});
  u.max_product = dice.seldom(product_limits());
  u.max_active = dice.seldom(active_limits());
  u.max_consecutive = dice.seldom<int>({1, 2});
  u.plant_back = dice.seldom<std::vector<PlantBack>>({{{"BRSOK", 30}, {"", 60}}, {{"LYPES", 14}}, {{"", 30}}});
  u.growth_stage = dice.seldom<StageWindow>({{10, 49}, {0, 59}, {51, 89}});
  u.bloom_ban = dice.seldom_yes_no();
  u.greenhouse = dice.seldom_yes_no();
  u.adjuvant = dice.seldom<Adjuvant>({Adjuvant::required, Adjuvant::allowed, Adjuvant::banned});
  u.feed_days = dice.seldom<double>({0, 7, 14});
  return u;
}

void random_head(Dice& dice, Card& c) {
  c.setting = dice.stated<CardSetting>({CardSetting::both, CardSetting::both, CardSetting::residential, CardSetting::agricultural});
  if (dice.one_in(6)) c.registration.clear();
  c.actives = dice.one_in(8) ? std::vector<Active>{} : dice.of(mixtures());
  if (dice.one_in(6)) c.copied_by.clear();
  if (dice.one_in(6)) c.copied_on.reset();
  if (dice.one_in(6)) c.copied_on = Date::from_ymd(2024, 6, 1 + dice.below(20));
  if (dice.one_in(8)) c.checked_by = "second";
  if (dice.one_in(8)) c.checked_on = Date::from_ymd(2024, 6, 1 + dice.below(20));
  if (dice.one_in(4)) {
    c.others.push_back({"conditions.bees", "not-while-foraging", 40});
    if (!dice.one_in(3)) c.conditions.bees = Stated<Bees>::given(Bees::foraging);
  }
  if (dice.one_in(12)) c.others.push_back({"conditions.max_temp_c", "29.0", 41});
  if (dice.one_in(3))
    c.conditions.bees =
        dice.stated<Bees>({Bees::foraging, Bees::actively_visiting, Bees::visiting, Bees::open_flowers, Bees::open_flowers, Bees::other});
  c.conditions.droplets = dice.seldom<Droplets>({Droplets::fine, Droplets::medium, Droplets::coarse});
  c.conditions.oil_sulfur_days = dice.seldom<double>({14, 30});
  c.expires = dice.seldom<Date>({first_day, first_day + Days{-1}, first_day + Days{100}});
  c.registered_in = dice.seldom<std::vector<std::string>>({{"US-WI"}, {"US-MN", "EU-FR"}});
  c.restricted_use = dice.seldom_yes_no();
  c.agricultural_use = dice.seldom_yes_no();
  c.exempt = dice.seldom_yes_no();
  c.organic_listed = dice.seldom_yes_no();
  c.ppe_handler = dice.seldom<std::vector<std::string>>({{"gloves"}, {"Gloves", "goggles"}});
}

/// A whole card with a line taken out of it now and then.
void make_whole(Dice& dice, Card& c) {
  const Card full = whole_card();
  const std::vector<Use> uses = c.uses;
  c = full;
  c.uses = {full.uses.front()};
  if (!uses.empty() && dice.one_in(3)) c.uses.push_back(uses.front());
  switch (dice.below(8)) {
    case 0:
      c.conditions.wind_max = {};
      break;
    case 1:
      c.storage = {};
      break;
    case 2:
      c.uses[0].max_active = {};
      break;
    case 3:
      c.registration.clear();
      break;
    case 4:
      c.uses[0].plant_back = {};
      break;
    default:
      break;
  }
  if (dice.one_in(4)) c.checked_by.clear();
}

Date random_day(Dice& dice) { return first_day + Days{dice.below(61) - 45 - (dice.one_in(4) ? 200 : 0)}; }

void random_past(Dice& dice, Proposal& p) {
  p.history.emplace();
  for (int n = dice.below(5); n > 0; --n) {
    Past past{random_day(dice), dice.one_in(3) ? "Another" : dice.one_in(6) ? " demo oil ONE" : "Demo Oil One"};
    if (!dice.one_in(4)) past.actives = dice.of(mixtures());
    if (!dice.one_in(4)) past.rate = dice.of(asked_rates());
    if (!dice.one_in(4)) past.water = dice.of(std::vector<double>{0.01, 0.02, 0.03});
    p.history->push_back(std::move(past));
  }
  if (dice.one_in(3)) p.crop_since = first_day + Days{-dice.below(60)};
  if (dice.one_in(3)) p.cycle_days = dice.of(std::vector<double>{60, 90, 120, 150});
  if (dice.one_in(3)) p.generation_days = dice.of(std::vector<double>{10, 16, 30});
  if (dice.one_in(3))
    for (int d = -70 + dice.below(10); d <= 5; d += 15 + dice.below(20)) p.generations.push_back(first_day + Days{d});
}

void random_people(Dice& dice, Proposal& p) {
  const auto perhaps = [&]() { return dice.one_in(4) ? std::optional<bool>{} : std::optional<bool>{!dice.one_in(4)}; };
  if (dice.one_in(2)) {
    Handler h{dice.one_in(4), perhaps(), perhaps(), perhaps(), {}};
    if (!dice.one_in(3)) h.protection = dice.of(std::vector<std::vector<std::string>>{{"gloves"}, {"gloves ", "GOGGLES"}, {"apron"}, {}});
    p.handler = h;
  }
  if (dice.one_in(3))
    p.nearest_person = dice.of(std::vector<Length>{Length::feet(10), Length::feet(25), Length::feet(60), Length::feet(100)});
  if (dice.one_in(2)) p.droplets = dice.of(std::vector<Droplets>{Droplets::very_fine, Droplets::fine, Droplets::medium, Droplets::coarse});
  if (dice.one_in(2)) p.release_height = dice.of(std::vector<Length>{Length::inches(10), Length::inches(12), Length::inches(18)});
}

void random_surroundings(Dice& dice, Proposal& p) {
  static const std::vector<std::string> crops = {"BRSOA", "BRSOK", "BRSJU", "LYPES", "SOLME"};
  for (int n = dice.below(3); n > 0; --n) {
    Neighbour near{"9", dice.of(crops), {}, dice.one_in(2)};
    for (int m = dice.below(3); m > 0; --m) near.harvests.push_back(random_moment(dice, -2, 10));
    p.neighbours.push_back(std::move(near));
  }
  if (dice.one_in(2)) {
    using Seen = BloomLook::Seen;
    p.bloom.emplace();
    for (int n = dice.below(4); n > 0; --n) {
      CivilTime at = p.on.time;
      const int back = dice.of(std::vector<int>{0, 3600, 43'200, 43'201, 50'000, 90'000, -60});
      const std::int64_t s = at.date.serial() * 86'400LL + at.second_of_day - back;
      at = {Date::from_serial(static_cast<std::int32_t>(s / 86'400)), static_cast<std::int32_t>(s % 86'400)};
      p.bloom->push_back(
          {dice.of(std::vector<Seen>{Seen::none, Seen::none, Seen::none, Seen::open, Seen::open_cucurbit, Seen::not_looked}), "bed 9", at});
    }
  }
  if (dice.one_in(4)) p.enclosed = !dice.one_in(4);
  if (dice.one_in(6)) p.covered = dice.one_in(2);
  if (dice.one_in(4)) p.organic = !dice.one_in(5);
  if (dice.one_in(2)) p.tried = {{"cover", first_day}};
  if (dice.one_in(3)) p.growth_stage = dice.of(std::vector<int>{9, 10, 49, 50, 51, 59, 90});
  for (int n = dice.below(3); n > 0; --n)
    p.sowings.push_back({dice.of(crops), first_day + Days{dice.of(std::vector<int>{-1, 0, 13, 14, 29, 30, 59, 60, 61})}});
}

}  // namespace

std::uint64_t seed_of_run() {
  static const std::uint64_t seed = [] {
    const char* given = std::getenv("LEAFTURN_SEED");
    const std::uint64_t value = given == nullptr ? 20'260'610 : std::strtoull(given, nullptr, 10);
    std::printf("LEAFTURN_SEED=%llu\n", static_cast<unsigned long long>(value));
    return value;
  }();
  return seed;
}

Moment random_moment(Dice& dice, int first, int days) {
  Moment m{{first_day + Days{first + dice.below(days)}, 0}, dice.one_in(2)};
  if (!m.day_only) m.time.second_of_day = dice.of(std::vector<int>{0, 21'600, 32'400, 59'400, 86'399});
  return m;
}

Proposal whole_proposal() {
  Proposal p = full_proposal();
  p.method = Method::foliar;
  p.pest = "PLUTMA";
  p.water = 0.02;
  p.jurisdiction = "US-WI";
  p.growth_stage = 20;
  p.bloom = std::vector<BloomLook>{{BloomLook::Seen::none, "bed 1", at("2025-06-10T12:00").time}};
  p.handler = Handler{false, true, true, {}, std::vector<std::string>{"gloves"}};
  return p;
}

RandomCase random_case(Dice& dice) {
  RandomCase out;
  // Something that is allowed, with one thing about it changed.
  if (dice.one_in(6)) {
    out = {dice.one_in(2) ? whole_card() : full_card(), whole_proposal()};
    if (dice.one_in(3)) random_past(dice, out.proposal);
    if (dice.one_in(4)) random_people(dice, out.proposal);
    if (dice.one_in(4)) out.proposal.harvests.push_back(random_moment(dice, 0, 12));
    return out;
  }
  Card& c = out.card;
  c = full_card();
  c.uses.clear();
  for (int n = dice.one_in(12) ? 0 : 1 + dice.below(3); n > 0; --n) c.uses.push_back(random_use(dice));
  random_head(dice, c);
  if (dice.one_in(12)) make_whole(dice, c);

  Proposal& p = out.proposal;
  p.crop = dice.of(std::vector<std::string>{"BRSOA", "BRSOA", "BRSOA", "BRSOK", "BRSJU", "LYPES", "SOLME"});
  p.on = random_moment(dice, 0, 1);
  if (!dice.one_in(8)) p.rate = dice.of(asked_rates());
  for (int n = dice.below(3); n > 0; --n) p.harvests.push_back(random_moment(dice, -2, 12));
  if (!dice.one_in(4)) p.setting = dice.one_in(2) ? garden::Setting::residential : garden::Setting::agricultural;
  if (!dice.one_in(5)) random_past(dice, p);
  if (dice.one_in(2)) p.pest = dice.of(std::vector<std::string>{"PLUTMA", "PIERRA", "MYZUPE"});
  if (dice.one_in(3)) p.method = dice.one_in(3) ? Method::soil : Method::foliar;
  if (dice.one_in(2)) p.water = dice.of(std::vector<double>{0.01, 0.02, 0.03, 0.04});
  if (!dice.one_in(3)) p.jurisdiction = dice.of(std::vector<std::string>{"US-WI", "US-MN", "EU-FR", "US", "other", ""});
  if (dice.one_in(2)) p.produce = dice.of(std::vector<Produce>{Produce::kept, Produce::given, Produce::sold});
  if (dice.one_in(3)) p.agency = AgencyAnswer{dice.one_in(2), first_day, "letter"};
  for (int n = dice.below(2); n > 0; --n) p.work.push_back(random_moment(dice, -1, 4));
  for (int n = dice.below(2); n > 0; --n) p.feedings.push_back(random_moment(dice, -1, 16));
  random_people(dice, p);
  random_surroundings(dice, p);
  return out;
}

Card whole_card() {
  Card c = full_card();
  c.whole = true;
  c.checked_by = "second";
  c.checked_on = Date::parse("2025-03-03");
  c.expires = Stated<Date>::none_stated();
  c.registered_in = Stated<std::vector<std::string>>::given({"US-WI"});
  c.agricultural_use = c.exempt = c.restricted_use = Stated<bool>::given(false);
  c.organic_listed = Stated<bool>::given(true);
  c.signal = Stated<Signal>::given({Signal::System::epa, Signal::Word::caution});
  c.ppe_handler = Stated<std::vector<std::string>>::given({"gloves"});
  c.ppe_early_entry = Stated<std::vector<std::string>>::given({"gloves", "long sleeves"});
  c.first_aid = c.emergency = c.storage = c.disposal = Stated<std::string>::given("as printed");
  Conditions& k = c.conditions;
  k.temp_min = k.temp_max = Stated<Temperature>::none_stated();
  k.humidity_min = k.rainfast_hours = k.oil_sulfur_days = Stated<double>::none_stated();
  k.wind_min = k.wind_max = Stated<Speed>::none_stated();
  k.inversion_ban = Stated<bool>::none_stated();
  k.droplets = Stated<Droplets>::given(Droplets::medium);
  k.buffer = k.water_buffer = Stated<Length>::none_stated();
  k.bees = Stated<Bees>::given(Bees::open_flowers);
  Use& u = c.uses[0];
  u.method = Stated<Method>::given(Method::foliar);
  u.pests = Stated<std::vector<PestDirection>>::given({{"PLUTMA", {}, {}}});
  u.water_min = Stated<double>::given(0.01);
  u.water_max = Stated<double>::given(0.05);
  u.max_product = Stated<AmountLimit>::given({rate("6 qt/acre"), Scope::season});
  u.max_active = Stated<AmountLimit>::given({rate("1.5 lb/acre"), Scope::season});
  u.max_consecutive = Stated<int>::given(2);
  u.plant_back = Stated<std::vector<PlantBack>>::given({{"", 30}});
  u.growth_stage = Stated<StageWindow>::given({10, 89});
  u.bloom_ban = Stated<bool>::given(true);
  u.greenhouse = Stated<bool>::given(true);
  u.adjuvant = Stated<Adjuvant>::given(Adjuvant::allowed);
  u.feed_days = Stated<double>::given(7);
  return c;
}

}  // namespace leafturn::label::test_cards
