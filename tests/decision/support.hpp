#pragma once
/// Small gardens for the tests of the brief: events put together by hand, weather of one temperature.

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "core/decision/brief.hpp"
#include "io/card_toml.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::decision::test_garden {

/// Every crop, and the three pests the sketches count: what else is in the library would ask to be looked for as well.
inline const pest::Library& library() {
  static const pest::Library three = [] {
    pest::Library all = io::built_in_library().value();
    std::erase_if(all.pests, [](const pest::Dossier& d) { return d.eppo != "PIERRA" && d.eppo != "MURGHI" && d.eppo != "LPTNDE"; });
    return all;
  }();
  return three;
}

/// Days at the same extremes.
inline weather::DailySeries steady(Date from, Date to, double min_c, double max_c) {
  std::vector<weather::Day> days;
  for (Date d = from; d <= to; d = d + Days{1}) days.push_back({d, Temperature::celsius(min_c), Temperature::celsius(max_c), {}, false});
  return weather::DailySeries::from_days(std::move(days)).value();
}

inline Date day(const char* iso) { return Date::parse(iso).value(); }
inline Instant at(const char* iso) { return Instant::parse(iso).value(); }

/// Collects events and asks for a brief. The zone is UTC.
class Sketch {
 public:
  explicit Sketch(const char* now, bool described = true) : now_{at(now)} {
    if (!described) return;
    garden::GardenDescribed g;
    g.name = "test";
    g.latitude = Angle::degrees(43.0);
    g.longitude = Angle::degrees(-88.0);
    g.zone = "UTC";
    g.setting = garden::Setting::agricultural;
    say("2025-01-01T00:00Z", g);
  }
  template <class Payload>
  Id say(const char* when, const Payload& payload) {
    garden::Event event;
    event.heading.id = Id::version7(next_, {});
    event.heading.writer = "test";
    event.heading.writer_seq = next_;
    event.heading.happened_at = at(when);
    event.payload = payload;
    events_.push_back({next_++, at(when), event});
    return event.heading.id;
  }
  void bed(const char* name, double x = 0.0) {
    say("2025-01-01T00:00Z", garden::BedLaid{name, Length::metres(x), Length::metres(0), Length::metres(1), Length::metres(8)});
  }
  void planting(const char* name, const char* bed, const char* crop, int plants = 20) {
    garden::PlantingSown p;
    p.planting = name;
    p.bed = bed;
    p.crop = crop;
    p.plants = plants;
    p.set_out = day("2025-04-01");
    say("2025-04-01T00:00Z", p);
  }
  void count(const char* when, const char* bed, const char* pest, const char* stage, int plants, int number) {
    say(when, garden::CountTaken{bed, pest, stage, plants, number});
  }
  Digest card(const std::string& toml) {
    Digest digest;
    digest.bytes[0] = static_cast<std::uint8_t>(++cards_given_);
    auto card = io::read_card_toml(toml, "card.toml");
    EXPECT_TRUE(card.has_value());
    say("2025-01-02T00:00Z", garden::CardCopied{card->product, digest});
    cards_.emplace(digest, *card);
    return digest;
  }
  Id spray(const char* when, const char* bed, const char* product, std::optional<Digest> card, bool outside = false,
           garden::Application::State state = garden::Application::State::made) {
    garden::Application a;
    a.state = state;
    a.bed = bed;
    a.product = product;
    a.card = card;
    a.rate = "1 floz/gal";
    a.outside_label = outside;
    return say(when, a);
  }
  void weather(double min_c, double max_c) {
    const Date today = Zone{}.civil(now_).date;
    known_.recorded = steady(day("2025-01-01"), today - Days{1}, min_c, max_c);
    known_.members = {steady(today, today + Days{horizon + 2}, min_c, max_c)};
    known_.future = Future::past_years;
  }
  /// After weather(): other extremes from a day on.
  void weather_from(const char* from, double min_c, double max_c) {
    known_.recorded = known_.recorded.continued_by(steady(day(from), known_.recorded.last(), min_c, max_c));
    known_.members = {steady(known_.members.front().first(), known_.members.front().last(), min_c, max_c)};
  }
  /// Other dossiers than the usual three.
  void knows(const pest::Library& other) { library_ = &other; }
  Brief brief() { return make_brief(request()); }
  /// Points into the sketch.
  BriefRequest request() {
    state_ = garden::fold(events_, now_);
    BriefRequest request;
    request.garden = &state_;
    request.library = library_ != nullptr ? library_ : &library();
    request.cards = cards_;
    request.weather = known_;
    request.at = now_;
    return request;
  }

 private:
  Instant now_;
  std::uint64_t next_ = 1;
  int cards_given_ = 0;
  std::vector<garden::Recorded> events_;
  std::map<Digest, label::Card> cards_;
  WeatherKnown known_;
  const pest::Library* library_ = nullptr;
  garden::Garden state_;
};

/// By value: the brief it is asked of is often a temporary.
inline BedBrief bed_of(const Brief& brief, const std::string& name) {
  for (const BedBrief& b : brief.beds)
    if (b.bed == name) return b;
  ADD_FAILURE() << "no bed " << name;
  return brief.beds.front();
}

inline bool says(const std::vector<Reason>& reasons, std::string_view code) {
  for (const Reason& r : reasons)
    if (r.code == code) return true;
  return false;
}

/// Everything a card can say, with nothing left to judge by hand.
inline const char* const full_card = R"([card]
product = "Test Spin"
registration = "TEST-1"
setting = "both"
copied_by = "lead"
copied_on = 2025-03-01
[[active]]
name = "spinosad"
content = "120 g/L"
mode_of_action = "5"
[[use]]
crops = ["BRSOC", "BRSOL", "SOLTU"]
rate = { min = "1 floz/gal", max = "2 floz/gal" }
pre_harvest_days = 3
reentry_hours = 12
interval_days = 7
max_applications = 3
)";

}  // namespace leafturn::decision::test_garden
