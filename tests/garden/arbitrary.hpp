#pragma once
/// Random events for properties (RapidCheck). They need not make sense in a garden; those of `plausible_history` do.

#include <rapidcheck.h>

#include "core/garden/garden.hpp"

namespace leafturn::garden::test {

inline rc::Gen<std::string> any_text() { return rc::gen::container<std::string>(rc::gen::inRange(' ', '~')); }
/// Few names, so that events meet.
inline rc::Gen<std::string> few_names(const std::string& stem) {
  return rc::gen::map(rc::gen::inRange(1, 4), [stem](int n) { return stem + std::to_string(n); });
}
inline rc::Gen<Instant> any_instant() {
  return rc::gen::map(rc::gen::inRange<std::int64_t>(0, 200), [](std::int64_t h) {
    return Instant::from_unix_microseconds(1'780'000'000'000'000) + Duration::hours(h) + Duration{h % 3};
  });
}
inline rc::Gen<Date> any_date() {
  return rc::gen::map(rc::gen::inRange(20'500, 20'700), [](int day) { return Date::from_serial(day); });
}
inline rc::Gen<double> any_number(double scale) {
  return rc::gen::map(rc::gen::inRange<std::int64_t>(-1'000'000'007, 1'000'000'007),
                      [scale](std::int64_t n) { return static_cast<double>(n) / 1'000'000'007.0 * scale; });
}
inline rc::Gen<Digest> any_digest() {
  return rc::gen::map(rc::gen::arbitrary<std::array<std::uint8_t, 32>>(), [](const std::array<std::uint8_t, 32>& b) { return Digest{b}; });
}
inline rc::Gen<Id> any_id() {
  return rc::gen::map(rc::gen::arbitrary<std::array<std::uint8_t, 16>>(), [](const std::array<std::uint8_t, 16>& b) { return Id{b}; });
}

template <class T>
T pick(const rc::Gen<T>& gen) {
  return *gen;
}
template <class T>
std::optional<T> maybe(const rc::Gen<T>& gen) {
  if (*rc::gen::arbitrary<bool>()) return *gen;
  return std::nullopt;
}
inline Length pick_length() { return Length::metres(*any_number(1000)); }

inline Id numbered_id(std::size_t n) {
  Id id = Id::version7(1'780'000'000'000, {});
  id.bytes[14] = static_cast<std::uint8_t>(n >> 8);
  id.bytes[15] = static_cast<std::uint8_t>(n);
  return id;
}

inline rc::Gen<Volume> any_volume() {
  return rc::gen::map(any_number(100), [](double l) { return Volume::litres(l); });
}
inline Amount any_amount() {
  if (*rc::gen::arbitrary<bool>()) return Mass::grams(*any_number(1e4));
  return *any_volume();
}
inline Used any_used() {
  Used used;
  if (*rc::gen::arbitrary<bool>()) return used;
  if (*rc::gen::arbitrary<bool>()) used.amount = any_amount();
  used.area = maybe(rc::gen::map(any_number(1e4), [](double m) { return Area::square_metres(m); }));
  used.mixed = maybe(any_volume());
  used.leftover = maybe(any_volume());
  used.lot = *any_text();
  used.equipment = *any_text();
  used.nozzle = *any_text();
  used.method = *any_text();
  used.type = maybe(rc::gen::element(Used::Type::surface, Used::Type::closed_space, Used::Type::seed));
  used.growth_stage = maybe(rc::gen::inRange(-5, 200));
  used.why = *any_text();
  used.system_plan = *any_text();
  return used;
}

inline std::optional<bool> perhaps() { return maybe(rc::gen::arbitrary<bool>()); }

inline Told any_told() {
  Told told;
  if (*rc::gen::arbitrary<bool>()) return told;
  told.method = maybe(rc::gen::element(Method::foliar, Method::bait, Method::seed));
  told.flowers = maybe(rc::gen::element(Flowers::none, Flowers::open, Flowers::open_cucurbit));
  if (*rc::gen::arbitrary<bool>()) {
    told.handler = Handler{*rc::gen::arbitrary<bool>(), perhaps(), perhaps(), perhaps(), {}};
    if (*rc::gen::arbitrary<bool>()) told.handler->protection = *rc::gen::container<std::vector<std::string>>(any_text());
  }
  told.produce = maybe(rc::gen::element(Produce::kept, Produce::given, Produce::sold));
  told.organic = perhaps();
  told.enclosed = perhaps();
  if (*rc::gen::arbitrary<bool>()) told.nearest_person = Length::metres(*rc::gen::inRange(0, 500));
  if (*rc::gen::arbitrary<bool>()) told.release_height = Length::metres(*rc::gen::inRange(0, 5));
  told.droplets = maybe(rc::gen::element(Droplets::very_fine, Droplets::medium, Droplets::ultra_coarse));
  told.water = maybe(any_number(5));
  return told;
}

inline AtBed any_look() {
  AtBed look;
  look.wind = maybe(rc::gen::map(any_number(10), [](double v) { return Speed::metres_per_second(v); }));
  look.temperature = maybe(rc::gen::map(any_number(40), [](double c) { return Temperature::celsius(c); }));
  look.humidity = maybe(any_number(1));
  look.people_clear = perhaps();
  look.in_flower = perhaps();
  look.dry = perhaps();
  look.dry_ahead = perhaps();
  look.drought = perhaps();
  look.overcast = perhaps();
  if (*rc::gen::arbitrary<bool>()) look.nozzle_height = Length::metres(*rc::gen::inRange(0, 3));
  return look;
}

inline Saying any_saying(std::size_t kind) {
  switch (kind) {
    case 0:
      return GardenDescribed{*any_text(),
                             Angle::degrees(*any_number(90)),
                             Angle::degrees(*any_number(180)),
                             pick_length(),
                             "America/Chicago",
                             *rc::gen::element(Units::metric, Units::us),
                             *any_text(),
                             maybe(rc::gen::element(Setting::residential, Setting::agricultural)),
                             maybe(rc::gen::map(any_date(), [](Date d) { return CivilTime{d, 3600 * 7 + 1}; })),
                             maybe(any_text()),
                             maybe(rc::gen::element(Produce::kept, Produce::given, Produce::sold))};
    case 1:
      return BedLaid{*few_names("bed "),
                     pick_length(),
                     pick_length(),
                     pick_length(),
                     pick_length(),
                     maybe(rc::gen::arbitrary<bool>()),
                     maybe(rc::gen::arbitrary<bool>())};
    case 2:
      return PlantingSown{*few_names("kale-"), *few_names("bed "), *any_text(),      maybe(rc::gen::inRange(-5, 500)),
                          maybe(any_date()),   maybe(any_date()),  maybe(any_date())};
    case 3:
      return PlantingRemoved{*few_names("kale-")};
    case 4:
      return CountTaken{*few_names("bed "), *any_text(), "egg", *rc::gen::inRange(-5, 500), *rc::gen::inRange(-5, 500)};
    case 5:
      return WorkDone{
          *rc::gen::element(WorkDone::Kind::hand_pick, WorkDone::Kind::crush_eggs, WorkDone::Kind::cover, WorkDone::Kind::uncover,
                            WorkDone::Kind::pull, WorkDone::Kind::water, WorkDone::Kind::release_friends, WorkDone::Kind::clean_up),
          *few_names("bed "), *any_text()};
    case 6:
      return Application{*rc::gen::element(Application::State::planned, Application::State::made, Application::State::cancelled),
                         *few_names("bed "),
                         *any_text(),
                         *any_text(),
                         maybe(any_digest()),
                         *any_text(),
                         *any_text(),
                         *rc::gen::arbitrary<bool>(),
                         *any_text(),
                         maybe(any_id()),
                         *rc::gen::arbitrary<bool>(),
                         any_used(),
                         any_told()};
    case 7:
      return HarvestTaken{*few_names("bed "), *any_text(), maybe(rc::gen::map(any_number(1e6), [](double g) { return Mass::grams(g); })),
                          *any_text(), maybe(rc::gen::element(HarvestTaken::Early::destroyed, HarvestTaken::Early::held))};
    case 8:
      return HarvestPlanned{*few_names("kale-"), *any_date()};
    case 9:
      return CardCopied{*any_text(), *any_digest()};
    case 10:
      return WeatherAdded{
          *any_text(), *any_digest(),
          maybe(rc::gen::element(FileUnits::fahrenheit, FileUnits::celsius, FileUnits::us, FileUnits::si, FileUnits::tenths)), *any_text()};
    case 11:
      return ApplicationJudged{*rc::gen::element(ApplicationJudged::Verdict::within_label, ApplicationJudged::Verdict::outside_label),
                               numbered_id(*rc::gen::inRange<std::size_t>(0, 30)), *few_names("bed "), maybe(any_digest()), *any_text()};
    case 12:
      return EquipmentKept{*few_names("sprayer "), *any_text(), maybe(any_volume()), *any_text()};
    case 13:
      return CatchTest{*few_names("sprayer "), *any_text(), *any_volume(), Area::square_metres(*any_number(100)), *any_text()};
    case 14:
      return StockCounted{*any_text(), *any_text(), any_amount(), maybe(any_date()), maybe(any_date()), *any_text()};
    case 15:
      return BedEntered{
          *few_names("bed "),
          maybe(rc::gen::element(BedEntered::Exception::no_contact, BedEntered::Exception::short_task, BedEntered::Exception::emergency)),
          maybe(rc::gen::map(rc::gen::inRange(0, 500), [](int m) { return Duration::minutes(m); })), *any_text()};
    case 16:
      return SprayBegun{numbered_id(*rc::gen::inRange<std::size_t>(0, 30)), *few_names("bed "), *any_text(), any_look(), *any_text()};
    case 17:
      return AgencyAnswered{*any_text(), *rc::gen::arbitrary<bool>(), *any_date(), *any_text()};
    default:
      return BedReleased{*rc::gen::element(BedReleased::Basis::destroyed, BedReleased::Basis::authority), *few_names("bed "), *any_text()};
  }
}

inline constexpr std::size_t kinds = std::variant_size_v<Saying>;

inline Payload as_payload(const Saying& saying) {
  return std::visit([](const auto& s) { return Payload{s}; }, saying);
}

/// `target`: what an amendment may amend; nothing = no amendments.
inline Event any_event(std::size_t n, std::optional<std::size_t> targets) {
  Event event;
  event.heading = {numbered_id(n), "shed",
                   n + 1,          *any_instant(),
                   *any_text(),    maybe(rc::gen::map(rc::gen::inRange(-20'000, 20'000), [](int s) { return Duration::seconds(s); }))};
  const bool amend = targets && *rc::gen::inRange(0, 4) == 0;
  if (!amend) {
    event.payload = as_payload(any_saying(*rc::gen::inRange<std::size_t>(0, kinds)));
    return event;
  }
  Amended a;
  a.target = numbered_id(*rc::gen::inRange<std::size_t>(0, *targets + 1));
  a.reason = *any_text();
  if (*rc::gen::arbitrary<bool>()) a.replacement = any_saying(*rc::gen::inRange<std::size_t>(0, kinds));
  a.happened_at = maybe(any_instant());
  event.payload = a;
  return event;
}

/// A ledger's worth: seq dense, ids by place, amendments of earlier and of unknown events among them.
inline std::vector<Recorded> any_history(std::size_t most) {
  const auto size = *rc::gen::inRange<std::size_t>(0, most);
  std::vector<Recorded> history;
  for (std::size_t n = 0; n < size; ++n) {
    Event event = any_event(n, size);
    const Instant received = event.heading.happened_at + Duration::seconds(2);
    history.push_back({n + 1, received, std::move(event)});
  }
  return history;
}

}  // namespace leafturn::garden::test
