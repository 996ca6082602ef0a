#pragma once
/// What the ledger says of sprayers and of the shelf: who is calibrated with what, what was really put on, what is left of each product.

#include <optional>
#include <string>
#include <vector>

#include "core/garden/garden.hpp"
#include "core/label/card.hpp"
#include "core/spray/rates.hpp"

namespace leafturn::spray {

/// A catch test holds for one sprayer, nozzle and person, for so long: common practice, no source.
inline constexpr int catch_test_days = 60;

enum class Calibrated { yes, never, too_old, other_nozzle, other_person };
/// `yes`, `never`, `too_old` …: the word in the catalogue.
std::string_view word_for(Calibrated state);

struct Calibration {
  Calibrated state = Calibrated::never;
  std::optional<garden::Dated<garden::CatchTest>> test;  ///< the one that holds, else the latest of this sprayer
  /// As the test gave it; nothing unless it holds.
  std::optional<SprayVolume> gives;
};
/// `nozzle` empty: the one now on the sprayer. `by` as in the event's heading.
Calibration calibration_of(const garden::Garden& garden, const std::string& equipment, const std::string& nozzle, const std::string& by,
                           Instant at);
/// The sprayer as last told; null when it isn't known.
const garden::EquipmentKept* equipment_of(const garden::Garden& garden, const std::string& equipment);

/// What an application really came to, in the measure of `like`: product on the ground per area, or product per finished spray. Nothing
/// when what it used wasn't told.
std::optional<label::ProductRate> actual_rate(const garden::Used& used, label::ProductRate::Basis like);
/// Below this share of the label's least, a spray is told to have been too weak.
inline constexpr double of_least = 0.9;

/// A rate at a carrier, in the other measure: per area ↔ per volume. A label that names both limits holds both.
label::ProductRate other_measure(const label::ProductRate& rate, SprayVolume carrier);

struct Shelf {
  std::string product, lot;  ///< lot empty: of all lots together, not told which
  garden::Amount counted, left;
  bool negative = false;    ///< more was used than was there
  bool other_kind = false;  ///< some use was told by weight and the shelf by volume, or the other way: not subtracted
  std::optional<Date> opened, expires;
  bool expired = false;
  Instant counted_at;
};
/// Each lot's last count less what was used of it since. A use without a lot is taken from the lot counted last.
std::vector<Shelf> shelf(const garden::Garden& garden, Date today);

}  // namespace leafturn::spray
