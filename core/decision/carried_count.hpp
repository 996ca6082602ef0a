#pragma once
/// What the last counts, carried along the calendar, would have said of a later count: the forecast that the population model has to beat.

#include <optional>
#include <string>
#include <vector>

#include "core/decision/carry.hpp"
#include "core/population/counts.hpp"

namespace leafturn::decision {

class CarriedCounts {
 public:
  /// All must outlive it but `air`, of which the first future is kept: what is asked about lies in the past, the same in all.
  CarriedCounts(const BriefRequest& request, const pest::Dossier& dossier, const Air& air);

  /// A count on `plants` plants at a time not after the request's, of things that each hold `in_one` individuals of `stages`. Only
  /// counts from before `known_before` (that time itself, or the beginning of the walk it belongs to) and work from before that time
  /// speak. Nothing where no count is left to carry, or where none of those counted can be in these stages
  /// by then (says_something).
  ///
  /// The carried density is a gamma with mean m and relative variance v, plants differ by the negative binomial's assumed k; so the sum
  /// over n plants has mean μ = n·m and variance μ + μ²·(v + (1 + v)/(n·k)), and is taken as the negative binomial with these two.
  std::optional<population::NegativeBinomial> expect(const std::string& bed, Instant at, Instant known_before,
                                                     const std::vector<std::size_t>& stages, double in_one, int plants);

 private:
  const BriefRequest& request_;
  const pest::Dossier& dossier_;
  Air air_;
  PestTiming timing_;
};

}  // namespace leafturn::decision
