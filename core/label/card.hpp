#pragma once
/// A label card: what the user copied from the container, field by field. A field is copied with a value, copied as 'the label says none',
/// or not copied; not copied is unknown and never permission. Read by io/card_toml; specified for people in docs/card.md.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/quantity.hpp"
#include "core/base/result.hpp"
#include "core/garden/event.hpp"
#include "core/garden/told.hpp"

namespace leafturn::label {

/// Three states, so that 'none' and 'not copied' can't be mixed up.
template <class T>
class Stated {
 public:
  static Stated not_copied() { return {}; }
  static Stated none_stated() {
    Stated s;
    s.none_ = true;
    return s;
  }
  static Stated given(T value) {
    Stated s;
    s.value_ = std::move(value);
    return s;
  }
  bool is_copied() const { return none_ || value_.has_value(); }
  bool says_none() const { return none_; }
  const T* value() const { return value_ ? &*value_ : nullptr; }

 private:
  std::optional<T> value_;
  bool none_ = false;
};

/// An amount of product per something. Rates compare only within one basis: ounces per gallon say nothing about quarts per acre
/// until water per area is known.
struct ProductRate {
  enum class Basis { volume_per_area, mass_per_area, volume_per_volume, mass_per_volume } basis = Basis::volume_per_area;
  double value = 0.0;    ///< L/m², g/m², L/L or g/L
  std::string as_given;  ///< `2 qt/acre`
};
/// `2 qt/acre`, `1.5 floz/gal`, `20 ml/L`, `0.5 %` (volume in volume), `3 lb/acre`, `1 oz/1000ft2`, `2 tsp/gal`. Errors:
/// `label.rate_unreadable`.
Result<ProductRate> parse_rate(std::string_view text);

/// Longest-lived form of a re-entry interval: hours, or until the spray is dry.
struct Reentry {
  double hours = 0.0;
  bool until_dry = false;
};

using garden::Droplets;
using garden::Method;

/// What a limit on amounts counts over. A season is counted as the calendar year.
enum class Scope { application, crop, season, year };

/// The most product, or active ingredient, on one area over a scope. The amount is per area.
struct AmountLimit {
  ProductRate amount;
  Scope scope = Scope::season;
};

/// A pest the directions name, with a rate of its own where they give one.
struct PestDirection {
  std::string pest;  ///< EPPO code
  std::optional<ProductRate> rate_min, rate_max;
};

/// Days before another crop may be set out on the sprayed ground; an empty crop is 'any other'.
struct PlantBack {
  std::string crop;
  double days = 0.0;
};

/// Growth stages on the BBCH scale, both ends included.
struct StageWindow {
  int from = 0, to = 99;
};

enum class Adjuvant { required, allowed, banned };

/// Directions for one crop or several.
struct Use {
  std::vector<std::string> crops;   ///< EPPO codes and `group:4-16B`
  std::vector<std::string> except;  ///< 'except …': EPPO codes
  Stated<Method> method;
  Stated<std::vector<PestDirection>> pests;
  Stated<ProductRate> rate_min, rate_max;
  Stated<double> water_min, water_max;  ///< finished spray, L/m²
  Stated<double> pre_harvest_days;
  Stated<Reentry> reentry;
  Stated<double> interval_days;
  Stated<int> max_applications;
  Stated<AmountLimit> max_product, max_active;
  Stated<int> max_consecutive;  ///< applications of one mode-of-action group one after the other
  Stated<std::vector<PlantBack>> plant_back;
  Stated<StageWindow> growth_stage;
  Stated<bool> bloom_ban;
  Stated<bool> greenhouse;  ///< may be used under glass or plastic
  Stated<Adjuvant> adjuvant;
  Stated<double> feed_days;  ///< before what grew there may be fed or grazed
  std::string words;         ///< the label's own sentence
  int line = 0;              ///< where the use starts in the card's file
};

/// Something the card says that no rule here judges: shown, and it makes a verdict conditional. The statements of `[conditions]` are here
/// as they were written, beside their values in `Conditions`.
struct OtherStatement {
  std::string field;  ///< `conditions.max_temp_c`
  std::string text;   ///< as written
  int line = 0;
};

/// What the label says of bees. `foraging` and `actively_visiting`: not while bees are at the flowers. `visiting`: the residue harms, so
/// not on flowers bees will visit. `open_flowers`: not on open flowers at all. `other`: words of its own, in `Conditions::bees_words`.
enum class Bees { foraging, actively_visiting, visiting, open_flowers, other };

/// The weather and the surroundings the label allows. A bound is inclusive.
struct Conditions {
  Stated<Temperature> temp_min, temp_max;
  Stated<double> humidity_min;  ///< relative, a share from 0 to 1
  Stated<Speed> wind_min, wind_max;
  Stated<bool> inversion_ban;
  Stated<Droplets> droplets;            ///< no finer than this
  Stated<Length> buffer, water_buffer;  ///< kept free of spray: downwind, and to open water
  Stated<Bees> bees;
  std::string bees_words;
  Stated<double> rainfast_hours;   ///< without rain after the end
  Stated<double> oil_sulfur_days;  ///< an oil and a sulfur product apart
};

enum class CardSetting { residential, agricultural, both };

/// The word on the front panel. Danger means one thing under 40 CFR 156.64 and another under Regulation (EC) 1272/2008.
struct Signal {
  enum class System { epa, clp } system = System::epa;
  enum class Word { danger_poison, danger, warning, caution, none } word = Word::none;
};

struct Active {
  std::string name;  ///< ISO common name
  std::string content;
  std::string mode_of_action;  ///< IRAC group; may be empty
};

struct Card {
  std::string product;
  std::string registration;  ///< may be empty: not copied
  std::string copied_by;
  std::optional<Date> copied_on;
  /// Copied from the whole label: then every field of the form that is left out is one nobody copied (docs/card.md, 'A whole card').
  bool whole = false;
  std::string label_version;
  std::optional<Date> label_date;
  Stated<Date> expires;
  std::string checked_by;  ///< the second person who held the card against the container
  std::optional<Date> checked_on;
  Stated<CardSetting> setting;
  Stated<std::vector<std::string>> registered_in;  ///< jurisdictions as gardens name them: `US-WI`, `EU-FR`
  Stated<bool> agricultural_use;                   ///< an agricultural-use-requirements box
  Stated<bool> exempt;                             ///< minimum risk, no registration needed (40 CFR 152.25(f))
  Stated<Signal> signal;
  Stated<bool> restricted_use;
  Stated<bool> organic_listed;
  std::string organic_lister;
  Stated<std::vector<std::string>> ppe_handler, ppe_early_entry;
  Stated<std::string> first_aid, emergency, storage, disposal;  ///< the label's words
  std::vector<Active> actives;
  std::vector<Use> uses;
  Conditions conditions;
  std::vector<OtherStatement> others;
};

}  // namespace leafturn::label
