#include "app/keep.hpp"

#include <fmt/format.h>

#include <array>

#include "app/spray_work.hpp"
#include "io/quantity_text.hpp"
#include "io/spray_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {
namespace {

using Basis = label::ProductRate::Basis;

template <class Q, class Parse>
Status read(const std::optional<std::string>& text, const char* field, Parse parse, std::optional<Q>& into) {
  if (!text) return {};
  auto value = parse(*text, field);
  if (!value) return fail(value.error());
  into = *value;
  return {};
}

/// A weight or a volume, whichever unit is there.
Result<garden::Amount> amount_of(const std::string& text, const std::string& field) {
  if (const auto mass = io::parse_mass(text, field)) return garden::Amount{*mass};
  const auto volume = io::parse_volume(text, field);
  if (!volume) return fail(volume.error());
  return garden::Amount{*volume};
}

std::string shown(const label::ProductRate& rate) {
  switch (rate.basis) {
    case Basis::volume_per_area:
      return fmt::format("{:.4g} L/ha", rate.value * 1e4);
    case Basis::mass_per_area:
      return fmt::format("{:.4g} g/ha", rate.value * 1e4);
    case Basis::volume_per_volume:
      return fmt::format("{:.4g} ml/L", rate.value * 1e3);
    case Basis::mass_per_volume:
      return fmt::format("{:.4g} g/L", rate.value);
  }
  return {};
}

/// As measured out and mixed, nobody hits a rate to the last drop: what rounding to a graduation can add is no more of it.
constexpr double as_told = 1.005;

}  // namespace

Result<RecordOutcome> write_equipment(OpenGarden& garden, const EquipmentTyped& typed, const WhenAndWho& when, Instant now) {
  garden::EquipmentKept kept{typed.equipment, typed.nozzle, {}, typed.detail};
  if (const auto good = read(typed.tank, "--tank", io::parse_volume, kept.tank); !good) return fail(good.error());
  return write_saying(garden, kept, when, now);
}

Result<RecordOutcome> write_catch_test(OpenGarden& garden, const CatchTestTyped& typed, const WhenAndWho& when, Instant now) {
  const auto gives =
      calibrate({.flow = typed.flow, .speed = typed.speed, .width = typed.width, .volume = typed.volume, .area = typed.area});
  if (!gives) return fail(gives.error());
  garden::CatchTest test{typed.equipment, typed.nozzle, {}, {}, typed.detail};
  if (typed.volume) {
    test.caught = *io::parse_volume(*typed.volume, "--volume");
    test.area = *io::parse_area(*typed.area, "--area");
  } else {
    // A minute's walk: what came out, over what was covered.
    const auto flow = *io::parse_flow(*typed.flow, "--flow");
    const auto speed = *io::parse_speed(*typed.speed, "--speed");
    test.caught = flow.in(60.0);
    test.area = Length::metres(speed.metres_per_second() * 60.0) * *io::parse_length(*typed.width, "--width");
  }
  return write_saying(garden, test, when, now);
}

Result<RecordOutcome> write_stock(OpenGarden& garden, const StockTyped& typed, const WhenAndWho& when, Instant now) {
  const auto amount = amount_of(typed.amount, "--amount");
  if (!amount) return fail(amount.error());
  garden::StockCounted counted{typed.product, typed.lot, *amount, {}, {}, typed.detail};
  if (const auto good = read(typed.opened, "--opened", io::parse_day, counted.opened); !good) return fail(good.error());
  if (const auto good = read(typed.expires, "--expires", io::parse_day, counted.expires); !good) return fail(good.error());
  return write_saying(garden, counted, when, now);
}

Result<RecordOutcome> write_entry(OpenGarden& garden, const EntryTyped& typed, const WhenAndWho& when, Instant now) {
  using Exception = garden::BedEntered::Exception;
  garden::BedEntered entered{typed.bed, {}, {}, typed.detail};
  if (typed.exception) {
    constexpr std::array words{std::pair{"no-contact", Exception::no_contact}, std::pair{"short-task", Exception::short_task},
                               std::pair{"emergency", Exception::emergency}};
    for (const auto& [word, value] : words)
      if (*typed.exception == word) entered.exception = value;
    if (!entered.exception) return fail("write.exception", {{}, 0, "--exception"}, {{"given", *typed.exception}});
  }
  if (typed.stayed) {
    const auto minutes = io::parse_whole(*typed.stayed, "--minutes", 1, 24 * 60);
    if (!minutes) return fail(minutes.error());
    entered.stayed = Duration::minutes(*minutes);
  }
  return write_saying(garden, entered, when, now);
}

Result<garden::Used> used_of(const UsedTyped& typed) {
  using Type = garden::Used::Type;
  garden::Used used;
  if (typed.amount) {
    const auto amount = amount_of(*typed.amount, "--amount");
    if (!amount) return fail(amount.error());
    used.amount = *amount;
  }
  if (const auto good = read(typed.area, "--area", io::parse_area, used.area); !good) return fail(good.error());
  if (const auto good = read(typed.mixed, "--mixed", io::parse_volume, used.mixed); !good) return fail(good.error());
  if (const auto good = read(typed.leftover, "--leftover", io::parse_volume, used.leftover); !good) return fail(good.error());
  used.lot = typed.lot;
  used.equipment = typed.equipment;
  used.nozzle = typed.nozzle;
  used.method = typed.method;
  used.why = typed.why;
  used.system_plan = typed.system_plan;
  if (typed.use_type) {
    constexpr std::array words{std::pair{"surface", Type::surface}, std::pair{"closed-space", Type::closed_space},
                               std::pair{"seed", Type::seed}};
    for (const auto& [word, value] : words)
      if (*typed.use_type == word) used.type = value;
    if (!used.type) return fail("write.use_type", {{}, 0, "--use-type"}, {{"given", *typed.use_type}});
  }
  if (typed.growth_stage) {
    const auto stage = io::parse_whole(*typed.growth_stage, "--growth-stage", 0, 99);
    if (!stage) return fail(stage.error());
    used.growth_stage = *stage;
  }
  return used;
}

std::string rate_judged(const garden::Application& a) {
  if (a.state != garden::Application::State::made) return a.rate;
  const auto told = label::parse_rate(a.rate);
  if (!told) return a.rate;
  const auto actual = spray::actual_rate(a.used, told->basis);
  return actual && actual->value > told->value * as_told ? shown(*actual) : a.rate;
}

std::optional<Reason> actual_said(const garden::Application& a, const std::optional<label::ProductRate>& least) {
  const auto told = label::parse_rate(a.rate);
  if (!told) return std::nullopt;
  const auto actual = spray::actual_rate(a.used, told->basis);
  if (!actual) return std::nullopt;
  const std::vector<Fact> facts{{"told", a.rate}, {"actual", shown(*actual)}};
  if (actual->value > told->value * as_told) return Reason{"spray.actual_above", facts};
  const double floor = least && least->basis == told->basis ? least->value : told->value;
  if (actual->value < spray::of_least * floor) return Reason{"spray.actual_weak", facts};
  return Reason{"spray.actual_as_told", facts};
}

Result<ShelfAnswer> shelf(OpenGarden& garden, std::optional<Instant> at, Instant now) {
  const auto asked = garden.asked_time(at, now);
  if (!asked) return fail(asked.error());
  const auto state = garden.garden_at(*asked);
  if (!state) return fail(state.error());
  const auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  return ShelfAnswer{spray::shelf(*state, zone->civil(*asked).date)};
}

}  // namespace leafturn::app
