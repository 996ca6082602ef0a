#pragma once
/// What the weather must keep to while a product is sprayed: the card's own bounds where they were copied, else common ones with their
/// source. A default never loosens a label: it stands in where the card is silent, and says so.

#include <optional>

#include "core/base/quantity.hpp"
#include "core/label/card.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::spray {

/// How a product works, as far as the weather matters.
enum class Works { oil, soap, contact, systemic };
std::string_view word_for(Works works);  ///< `oil`, `soap`, `contact`, `systemic`

/// What the card says of bees.
enum class BeeLine { not_copied, none_stated, not_while_foraging, not_on_open_flowers };

/// A bound and whose it is. Going past a label's bound is unlawful, past advice unwise.
template <class Q>
struct Bound {
  Q value{};
  bool label = false;
  pest::Known known{};      ///< how a default is known
  const char* source = "";  ///< of a default; lives as long as the program
};

struct SprayLimits {
  Works works = Works::contact;
  bool contact_only = false;  ///< nothing is left to work once dry
  Bound<Speed> wind_least, wind_most;
  Bound<Temperature> temperature_most;
  std::optional<Bound<Temperature>> temperature_least;
  std::optional<Bound<double>> humidity_least;  ///< relative, 0 … 1; only where the label has one
  Bound<double> rainfast_hours;                 ///< without rain after the end
  BeeLine bees = BeeLine::not_copied;
  bool inversion_ban = false;                     ///< the label forbids it in so many words
  std::optional<pest::Sourced<double>> wash_off;  ///< share of the residue that a washing rain takes, where an active's dossier tells
};

/// Where no label speaks. Wind 3 to 8 mph (stewardship guide, seen S74); at most 85 °F for any spray to plants (seen S79); oils and soaps
/// from 50 to 85 °F (Washington State University, seen S143); no rain for 24 hours, when wash-off is greatest (seen S83), and for 4 where
/// nothing works once dry (from memory).
SprayLimits usual_limits(Works works, bool contact_only = false);

/// How what is in the product works, from the dossiers of its actives. An active without a dossier counts as contact.
Works works_of(const label::Card& card, const pest::Library& library);
/// The card's bounds over the usual ones for its actives.
SprayLimits limits_of(const label::Card& card, const pest::Library& library);

}  // namespace leafturn::spray
