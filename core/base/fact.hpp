#pragma once
/// Reasons as data. Core never writes a sentence: it returns a code and the facts that fill it, and words/ holds the
/// sentence for each code in every language. `Error` (error.hpp) is the same idea for what went wrong.

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/quantity.hpp"

namespace leafturn {

/// A key of the word catalogue, shown in the reader's language: `pest.PIERRA`, `stage.egg`, `crop.BRSOA`.
struct Term {
  std::string key;
  friend bool operator==(const Term&, const Term&) = default;
};

/// A plain number with the number of decimals worth showing.
struct Number {
  double value = 0.0;
  int decimals = 0;
};

/// A share between 0 and 1, shown as per cent.
struct Share {
  double value = 0.0;
};

/// A list read out as 'a, b and c'.
struct Terms {
  std::vector<Term> keys;
};

using FactValue = std::variant<std::string, Term, Terms, std::int64_t, Number, Share, Date, CivilTime, Temperature, DegreeDays, Length,
                               Area, Volume, Speed>;

/// One named fact of a reason: `bed` = "7", `threshold` = 0.3.
struct Fact {
  std::string name;
  FactValue value;
};

/// Why something is as it is: a code of the word catalogue (`brief.hatch_soon`) and its facts.
struct Reason {
  std::string code;
  std::vector<Fact> facts;
};

}  // namespace leafturn
