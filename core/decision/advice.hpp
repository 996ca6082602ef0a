#pragma once
/// One thing to do about one pest in one bed today, or the day to look again: what whoever follows leafturn does. On timing by the
/// published threshold that fits the crop's age, held against the counts carried along; where the population model has earned its seat by
/// the comparison of options (compare.hpp).

#include <optional>
#include <string>
#include <vector>

#include "core/decision/options.hpp"

namespace leafturn::decision {

/// A published threshold held against what was counted.
struct Weighed {
  const pest::Threshold* threshold = nullptr;
  double limit = 0.0;   ///< individuals per plant; for a share of plants the mean at which that share is met (negative binomial, k)
  Density now;          ///< of what it counts, individuals per plant
  double p_now = 0.0;   ///< chance to be past it
  double p_soon = 0.0;  ///< at its highest until the next look
  std::optional<Date> soon;
};

/// Whether a threshold's growth stage fits: `near-maturity` from 14 days before the first harvest on, `cupping` before that, `seedbed` in
/// the first 14 days, `until-flowering` before the first harvest; others always. Where nobody said when, it fits.
bool fits_age(const pest::Threshold& threshold, const garden::Planting& planting, Date today);

/// The applying threshold most likely passed, now or within `days`; nothing where none applies or nothing was counted that it could speak
/// of.
std::optional<Weighed> weigh(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host, int days);

struct Advice {
  std::vector<Option> act;   ///< done together today (picking and crushing eggs are one walk); empty = nothing to do
  std::optional<Date> look;  ///< when to look again, where that is sooner than usual
  std::vector<Reason> why;
};

/// Acts when it is likelier than not that the threshold is passed now (the brief's cut point): by hand when that takes an hour at most,
/// else the gentlest spray with at least a fair effect (half of them, on the scale university summaries use); what was tried in the last
/// ten days and left it over the threshold comes last. When it is to be passed before the next look only: crushes eggs where there are any,
/// and looks again on that day.
Advice advise(const BedContext& bed, const pest::Dossier& dossier, const garden::Planting& host, const Choices& choices,
              int next_look_days);

}  // namespace leafturn::decision
