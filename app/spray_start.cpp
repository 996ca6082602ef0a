#include "app/spray_start.hpp"

#include "app/spray_ground.hpp"
#include "core/label/judge.hpp"
#include "io/quantity_text.hpp"

namespace leafturn::app {
namespace {

template <class Parse, class Value>
Status read(const std::optional<std::string>& text, const char* field, Parse parse, std::optional<Value>& into) {
  if (!text || text->empty()) return {};
  auto value = parse(*text, field);
  if (!value) return fail(value.error());
  into = *value;
  return {};
}

Result<double> percent(const std::string& text, const char* field) {
  std::string digits = text;
  if (!digits.empty() && digits.back() == '%') digits.pop_back();
  const auto whole = io::parse_whole(digits, field, 1, 100);
  if (!whole) return fail(whole.error());
  return *whole / 100.0;
}

}  // namespace

Result<garden::AtBed> at_bed_of(const StartTyped& typed) {
  garden::AtBed seen;
  if (auto ok = read(typed.wind, "wind", io::parse_speed, seen.wind); !ok) return fail(ok.error());
  if (auto ok = read(typed.temperature, "temperature", io::parse_temperature, seen.temperature); !ok) return fail(ok.error());
  if (auto ok = read(typed.humidity, "humidity", percent, seen.humidity); !ok) return fail(ok.error());
  if (auto ok = read(typed.nozzle_height, "nozzle_height", io::parse_length, seen.nozzle_height); !ok) return fail(ok.error());
  const auto answered = [](const std::optional<std::string>& text, const char* field, std::optional<bool>& into) -> Status {
    const auto value = yes_no(text, field);
    if (!value) return fail(value.error());
    into = *value;
    return {};
  };
  if (auto ok = answered(typed.people_clear, "people_clear", seen.people_clear); !ok) return fail(ok.error());
  if (auto ok = answered(typed.in_flower, "in_flower", seen.in_flower); !ok) return fail(ok.error());
  if (auto ok = answered(typed.dry, "dry", seen.dry); !ok) return fail(ok.error());
  if (auto ok = answered(typed.dry_ahead, "dry_ahead", seen.dry_ahead); !ok) return fail(ok.error());
  if (auto ok = answered(typed.drought, "drought", seen.drought); !ok) return fail(ok.error());
  if (auto ok = answered(typed.overcast, "overcast", seen.overcast); !ok) return fail(ok.error());
  return seen;
}

Result<StartAnswer> start_answer(OpenGarden& garden, const garden::Garden& state, const std::string& bed, const std::string& product,
                                 const garden::AtBed& seen, Instant at, const garden::Told& told) {
  auto ground = spray_ground(garden, state, bed, product, at);
  if (!ground) return fail(ground.error());
  StartAnswer out{at, bed, seen, std::move(ground->card), std::move(ground->zone), {}};
  spray::Around around;
  around.cucurbit = ground->cucurbit;
  std::optional<label::Droplets> droplets = told.droplets;
  if (const auto* most = out.card.conditions.droplets.value(); most != nullptr && !droplets) droplets = *most;
  const Length people = label::exclusion_distance(droplets, seen.nozzle_height ? seen.nozzle_height : told.release_height);
  out.found = spray::start_found(at, seen, ground->site, spray::limits_of(out.card, garden.library()), around, people);
  return out;
}

Result<StartAnswer> spray_start(OpenGarden& garden, const StartTyped& typed, Instant now) {
  const auto at = garden.asked_time(typed.at, now);
  if (!at) return fail(at.error());
  auto state = garden.garden_at(*at);
  if (!state) return fail(state.error());
  const auto seen = at_bed_of(typed);
  if (!seen) return fail(seen.error());
  garden::Told told;
  if (const auto plan = typed.plan ? Id::parse(*typed.plan) : std::nullopt)
    for (const auto& a : state->applications)
      if (a.id == *plan) told = a.what.told;
  return start_answer(garden, *state, typed.bed, typed.product, *seen, *at, told);
}

}  // namespace leafturn::app
