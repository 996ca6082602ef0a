#include "core/spray/kept.hpp"

#include <algorithm>
#include <array>
#include <map>

namespace leafturn::spray {
namespace {

using Basis = label::ProductRate::Basis;
using garden::Amount;

double base_of(const Amount& amount) {
  const auto* mass = std::get_if<Mass>(&amount);
  return mass != nullptr ? mass->grams() : std::get<Volume>(amount).litres();
}
bool weighs(const Amount& amount) { return std::holds_alternative<Mass>(amount); }
Amount amount_of(bool weighed, double base) { return weighed ? Amount{Mass::grams(base)} : Amount{Volume::litres(base)}; }

}  // namespace

std::string_view word_for(Calibrated state) {
  constexpr std::array<std::string_view, 5> words{"yes", "never", "too_old", "other_nozzle", "other_person"};
  return words[static_cast<std::size_t>(state)];
}

const garden::EquipmentKept* equipment_of(const garden::Garden& garden, const std::string& equipment) {
  const garden::EquipmentKept* found = nullptr;
  for (const auto& one : garden.equipment)
    if (one.what.equipment == equipment) found = &one.what;
  return found;
}

Calibration calibration_of(const garden::Garden& garden, const std::string& equipment, const std::string& nozzle, const std::string& by,
                           Instant at) {
  Calibration out;
  const auto* kept = equipment_of(garden, equipment);
  const std::string& on = nozzle.empty() && kept != nullptr ? kept->nozzle : nozzle;
  // Nearest to holding: the right person and nozzle, however old; else the right nozzle; else any.
  int best = 0;
  for (const auto& one : garden.catch_tests) {
    if (one.what.equipment != equipment || one.at > at) continue;
    const bool same_nozzle = one.what.nozzle == on;
    const bool same_person = one.by == by;
    const int fit = 1 + (same_nozzle ? 1 : 0) + (same_nozzle && same_person ? 1 : 0);
    if (fit < best) continue;
    best = fit;
    out.test = one;
    out.state = !same_nozzle ? Calibrated::other_nozzle : !same_person ? Calibrated::other_person : Calibrated::yes;
  }
  if (out.state == Calibrated::yes && at - out.test->at > Duration::hours(24 * catch_test_days)) out.state = Calibrated::too_old;
  if (out.state == Calibrated::yes) out.gives = SprayVolume::of(out.test->what.caught, out.test->what.area);
  return out;
}

std::optional<label::ProductRate> actual_rate(const garden::Used& used, Basis like) {
  const bool per_area = like == Basis::volume_per_area || like == Basis::mass_per_area;
  const bool weighed = like == Basis::mass_per_area || like == Basis::mass_per_volume;
  if (!used.amount || weighs(*used.amount) != weighed) return std::nullopt;
  label::ProductRate rate;
  rate.basis = like;
  if (per_area) {
    const auto applied = used.applied();
    if (!applied || !used.area || !(used.area->square_metres() > 0.0)) return std::nullopt;
    rate.value = base_of(*applied) / used.area->square_metres();
  } else {
    if (!used.mixed || !(used.mixed->litres() > 0.0)) return std::nullopt;
    rate.value = base_of(*used.amount) / used.mixed->litres();
  }
  return rate;
}

label::ProductRate other_measure(const label::ProductRate& rate, SprayVolume carrier) {
  label::ProductRate other = rate;
  switch (rate.basis) {
    case Basis::volume_per_area:
      other.basis = Basis::volume_per_volume;
      break;
    case Basis::mass_per_area:
      other.basis = Basis::mass_per_volume;
      break;
    case Basis::volume_per_volume:
      other.basis = Basis::volume_per_area;
      break;
    case Basis::mass_per_volume:
      other.basis = Basis::mass_per_area;
      break;
  }
  const bool per_area = rate.basis == Basis::volume_per_area || rate.basis == Basis::mass_per_area;
  const double litres = carrier.litres_per_square_metre();
  other.value = per_area ? rate.value / litres : rate.value * litres;
  return other;
}

std::vector<Shelf> shelf(const garden::Garden& garden, Date today) {
  std::map<std::pair<std::string, std::string>, Shelf> lots;
  std::map<std::string, std::string> last_lot;
  for (const auto& one : garden.stock) {
    lots[{one.what.product, one.what.lot}] = {one.what.product, one.what.lot,     one.what.amount, one.what.amount, false, false,
                                              one.what.opened,  one.what.expires, false,           one.at};
    last_lot[one.what.product] = one.what.lot;
  }
  for (const auto& a : garden.applications) {
    if (a.what.state != garden::Application::State::made || !a.what.used.amount) continue;
    std::string lot = a.what.used.lot;
    if (lot.empty())
      if (const auto last = last_lot.find(a.what.product); last != last_lot.end()) lot = last->second;
    const auto found = lots.find({a.what.product, lot});
    if (found == lots.end() || a.at <= found->second.counted_at) continue;
    Shelf& s = found->second;
    if (weighs(s.left) != weighs(*a.what.used.amount)) {
      s.other_kind = true;
      continue;
    }
    s.left = amount_of(weighs(s.left), base_of(s.left) - base_of(*a.what.used.amount));
  }
  std::vector<Shelf> out;
  for (auto& [key, s] : lots) {
    s.negative = base_of(s.left) < 0.0;
    s.expired = s.expires && *s.expires < today;
    out.push_back(s);
  }
  return out;
}

}  // namespace leafturn::spray
