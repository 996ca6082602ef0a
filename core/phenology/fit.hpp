#pragma once
/// Parameters of a development rate from days at constant temperatures: least squares on rates (1/days), with how far each can be trusted.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/base/quantity.hpp"
#include "core/pest/rate_model.hpp"

namespace leafturn::phenology {

/// One line of a rearing table.
struct Rearing {
  Temperature at;
  std::optional<double> days;  ///< mean days to complete; absent: none did
  std::optional<double> n;     ///< individuals
  std::optional<double> sd;    ///< standard deviation of days between them
};

/// What can be fitted. `sharpe_schoolfield_high` leaves the cold inactivation out.
enum class FitForm {
  linear,
  briere_1,
  briere_2,
  lactin_2,
  logan_6,
  logan_10,
  sharpe_schoolfield,
  sharpe_schoolfield_high,
  kontodimas,
  beta,
};
inline constexpr int fit_form_count = 10;

/// `briere-1` …, as in dossiers; and `sharpe-schoolfield-high`.
std::string_view word_for(FitForm form);
std::optional<FitForm> fit_form(std::string_view word);

/// What a row counts for: all alike; by the individuals behind it; by 1/variance of its mean rate (sd²/(n·days⁴)). The last two need `n`,
/// or `n` and `sd`, on every row that developed, and are scaled by the scatter that is left: what varies from cabinet to cabinet is more
/// than what varies between sisters, so all alike is the safe choice.
enum class FitWeights { alike, n, sd };

struct FitRequest {
  std::span<const Rearing> rows{};
  FitForm form = FitForm::linear;
  FitWeights weights = FitWeights::alike;
  Temperature base{};      ///< Logan only: not fitted, any choice gives the same curve
  std::uint64_t seed = 1;  ///< of the bootstrap
  int resamples = 500;     ///< of the bootstrap; 0 = none
};

struct Interval {
  double low = 0.0, high = 0.0;
};

/// A parameter, or what follows from the parameters.
struct Estimate {
  std::string key;  ///< as in dossiers: `lower_c`; or `optimum_c`, `lower_limit_c`, `upper_limit_c`, `highest_rate`
  double value = 0.0;
  std::optional<double> standard_error;  ///< absent when the data don't fix it, or leave no scatter to judge by
  std::optional<Interval> interval95;    ///< value ± Student's t · standard error
  std::optional<Interval> resampled95;   ///< 2.5 % to 97.5 % of the bootstrap's; absent when over 5 % of it failed
};

struct FittedRow {
  Rearing row;
  bool used = true;   ///< false: left out (linear: hotter than the fastest, or without development)
  double rate = 0.0;  ///< of the model, per day
};

/// One form on one table. Without `model` the form was refused, and `reasons` says why.
struct RateFit {
  FitForm form = FitForm::linear;
  std::optional<pest::RateModel> model;  ///< its source is empty: the caller knows what was read
  std::vector<Estimate> parameters;
  std::vector<Estimate> derived;  ///< those that exist: optimum, highest rate, limits
  std::vector<FittedRow> rows;
  int developed = 0;           ///< rows with days that were used
  double residual_sd = 0.0;    ///< of rates, per day; √(weighted RSS/(developed − parameters))
  std::optional<double> aicc;  ///< lower is better, between forms fitted to the same rows only; absent with too few of them
  int resamples_failed = 0;    ///< bootstrap samples on which the fit didn't come to an end
  /// Catalogue keys with facts. Refusals: `fit.too_few`, `fit.no_rise`, `fit.upper_not_identified`, `fit.needs_weights`, `fit.no_fit`.
  /// Warnings: `fit.not_identified` (a parameter's interval says nothing), `fit.upper_from_absence` (nothing that developed was past the
  /// optimum, only a temperature without development), `fit.left_out` (linear: rows past the fastest), `fit.lower_far` (the lower threshold
  /// lies more than 5 K below the coldest row), `fit.no_scatter` (as many parameters as rows).
  std::vector<Reason> reasons;
};

/// Rows that developed enter as they are. A row without development counts only as far as the model wrongly develops there: it pushes
/// limits inward but adds no degree of freedom, so it never makes an interval look better than the days do. A limit may not lie inside the
/// temperatures at which something developed.
///
/// **Linear**: ordinary least squares on the rows up to the fastest; standard errors of threshold and constant as in Campbell et al. 1974
/// (J. Appl. Ecol. 11:431–438). **Others**: Levenberg–Marquardt (Marquardt 1963, SIAM J. Appl. Math. 11:431–441) from the best of a grid of
/// starting values; standard errors from the Jacobian (delta method), and a parametric bootstrap (Efron & Tibshirani 1993, ch. 6): normal
/// scatter about the fitted rates, fitted again; each sample draws the scatter's size too (residual_sd·√(ν/χ²)), without which its
/// intervals held the truth in 87 % of simulated tables instead of 95 %. Deterministic. A few milliseconds a form, and about one more for
/// two bootstrap samples.
RateFit fit_rate(const FitRequest& request);

}  // namespace leafturn::phenology
