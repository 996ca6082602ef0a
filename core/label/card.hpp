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

/// Directions for one crop or several.
struct Use {
  std::vector<std::string> crops;   ///< EPPO codes and `group:4-16B`
  std::vector<std::string> except;  ///< 'except …': EPPO codes
  Stated<ProductRate> rate_min, rate_max;
  Stated<double> pre_harvest_days;
  Stated<Reentry> reentry;
  Stated<double> interval_days;
  Stated<int> max_applications;
  int line = 0;  ///< where the use starts in the card's file
};

/// Something the card says that no rule here judges yet: shown, and it makes a verdict conditional.
struct OtherStatement {
  std::string field;  ///< `conditions.max_temp_c`
  std::string text;   ///< as written
  int line = 0;
};

enum class CardSetting { residential, agricultural, both };

struct Active {
  std::string name;  ///< ISO common name
  std::string content;
  std::string mode_of_action;  ///< IRAC group; may be empty
};

struct Card {
  std::string product;
  std::string registration;  ///< may be empty: not copied
  Stated<CardSetting> setting;
  std::string copied_by;
  std::optional<Date> copied_on;
  std::vector<Active> actives;
  std::vector<Use> uses;
  std::vector<OtherStatement> others;
};

}  // namespace leafturn::label
