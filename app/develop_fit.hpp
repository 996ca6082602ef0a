#pragma once
/// Parameters of development rates from a table of days at constant temperatures.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/phenology/fit.hpp"

namespace leafturn::app {

/// As typed.
struct DevelopFitQuestion {
  std::string table{};                   ///< the file
  std::string forms{};                   ///< `briere-1,lactin-2` or `all`
  std::optional<std::string> weights{};  ///< `alike`, `n`, `sd`
  std::optional<std::string> base{};     ///< `10C`: Logan's base temperature
  std::optional<std::string> seed{};
  /// For the block that goes into a dossier; what isn't given is left for the reader to fill in.
  std::optional<std::string> id{}, population{}, first{}, last{}, source{};
};

struct DevelopFitAnswer {
  DevelopFitQuestion asked;
  std::string name;  ///< of the file, without folders and ending
  std::vector<phenology::Rearing> rows;
  phenology::FitWeights weights = phenology::FitWeights::alike;
  std::uint64_t seed = 1;
  int resamples = 0;
  std::vector<phenology::RateFit> fits;  ///< in the order asked; for `all`, that of the forms
  /// Index of the fit with the lowest AICc, where at least two have one.
  std::optional<std::size_t> best;
  std::vector<Reason> notes;

  bool none_fitted() const;
};

/// Errors: those of the file, `fit.form` (names the forms), `fit.weights`, `quantity.*` of base and seed.
Result<DevelopFitAnswer> develop_fit(const DevelopFitQuestion& question);

}  // namespace leafturn::app
