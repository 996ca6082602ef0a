#include "core/label/active_amount.hpp"

#include <string>

namespace leafturn::label {

std::optional<Content> read_content(std::string_view text) {
  // Same measures as rates: per cent is weight in weight here, and `g/kg` and `lb/gal` are rates in all but name.
  std::string plain(text);
  if (const auto per = plain.find("/kg"); per != std::string::npos) {
    plain.replace(per, 3, "/L");
    const auto per_litre = parse_rate(plain);
    if (!per_litre || per_litre->basis != ProductRate::Basis::mass_per_volume) return std::nullopt;
    return Content{{}, per_litre->value / 1000.0};
  }
  const auto rate = parse_rate(plain);
  if (!rate) return std::nullopt;
  if (rate->basis == ProductRate::Basis::mass_per_volume) return Content{rate->value, {}};
  const bool percent = rate->basis == ProductRate::Basis::volume_per_volume && plain.find('%') != std::string::npos;
  if (percent) return Content{{}, rate->value};
  return std::nullopt;
}

std::optional<Dose> dose_of(const ProductRate& rate, const std::optional<double>& water) {
  using Basis = ProductRate::Basis;
  switch (rate.basis) {
    case Basis::volume_per_area:
      return Dose{false, rate.value};
    case Basis::mass_per_area:
      return Dose{true, rate.value};
    case Basis::volume_per_volume:
      if (water) return Dose{false, rate.value * *water};
      break;
    case Basis::mass_per_volume:
      if (water) return Dose{true, rate.value * *water};
      break;
  }
  return std::nullopt;
}

std::optional<double> active_of(const Dose& dose, const Content& content) {
  if (dose.by_weight && content.share) return dose.per_square_metre * *content.share;
  if (!dose.by_weight && content.grams_per_litre) return dose.per_square_metre * *content.grams_per_litre;
  return std::nullopt;
}

}  // namespace leafturn::label
