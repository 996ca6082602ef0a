#pragma once
/// Development-rate functions as published: their parameters and where they come from. What they compute is in core/phenology/rate.hpp.
/// A parameter set belongs to one source and one population; parameters of different sets never mix.

#include <optional>
#include <utility>
#include <variant>
#include <vector>

#include "core/base/quantity.hpp"
#include "core/pest/known.hpp"

namespace leafturn::pest {

/// (T − lower)/constant per day between the thresholds (Campbell et al. 1974, J. Appl. Ecol. 11:431–438); above `upper`, the rate stays at
/// its value there (horizontal cutoff); at or above `lethal`, no development.
struct LinearRate {
  Sourced<Temperature> lower;
  Sourced<DegreeDays> constant;  ///< heat above `lower` from entering to leaving (mean individual)
  std::optional<Sourced<Temperature>> upper;
  std::optional<Sourced<Temperature>> lethal;
};

/// scale·T·(T − lower)·(upper − T)^(1/m), T in °C, 0 outside (lower, upper); m = 2 is Brière-1 (Brière et al. 1999, Environ. Entomol.
/// 28:22–29).
struct BriereRate {
  double scale = 0.0;
  Temperature lower, upper;
  double m = 2.0;
  Source source;
};

/// e^{ρT} − e^{ρTm − (Tm − T)/Δ} + λ, T in °C (Lactin et al. 1995, Environ. Entomol. 24:68–75).
struct LactinRate {
  double rho = 0.0;
  Temperature upper;  ///< Tm
  double delta = 1.0;
  double lambda = 0.0;
  Source source;
};

/// ψ·[e^{ρT} − e^{ρTm − (Tm − T)/Δ}], T above `base` (Logan et al. 1976, Environ. Entomol. 5:1133–1140, six-parameter form).
struct LoganRate {
  double psi = 0.0, rho = 0.0;
  Temperature base;   ///< T and Tm count from here
  Temperature upper;  ///< Tm, where the rate is 0
  double delta = 1.0;
  Source source;
};

/// α·[1/(1 + k·e^{−ρT}) − e^{−(Tm − T)/Δ}], T above `base` (Logan et al. 1976, ten-parameter form).
struct Logan10Rate {
  double alpha = 0.0, k = 0.0, rho = 0.0;
  Temperature base, upper;
  double delta = 1.0;
  Source source;
};

/// ρ25·(K/298.15)·exp[(HA/R)(1/298.15 − 1/K)] / {1 + exp[(HL/R)(1/TL − 1/K)] + exp[(HH/R)(1/TH − 1/K)]}, K kelvin, R = 1.987 cal/(mol·K)
/// (Schoolfield, Sharpe & Magnuson 1981, J. Theor. Biol. 88:719–731). A missing pair leaves its inactivation out. The half-inactivation
/// temperatures are plain kelvin: published fits hold values that no thermometer shows.
struct SchoolfieldRate {
  double rho25 = 0.0;  ///< per day at 25 °C without inactivation
  double ha = 0.0;     ///< cal/mol
  struct Inactivation {
    double enthalpy = 0.0;     ///< cal/mol; negative for the cold side
    double half_kelvin = 0.0;  ///< K
  };
  std::optional<Inactivation> low, high;
  Source source;
};

/// scale·(T − lower)²·(upper − T) (Kontodimas et al. 2004, Environ. Entomol. 33:1–11).
struct KontodimasRate {
  double scale = 0.0;
  Temperature lower, upper;
  Source source;
};

/// e^μ·(T − lower)^α·(upper − T)^β (Yin et al. 1995, Agric. For. Meteorol. 77:1–16).
struct BetaRate {
  double mu = 0.0, alpha = 1.0, beta = 1.0;
  Temperature lower, upper;
  Source source;
};

/// Days at constant temperatures as published, in order of temperature. Between the points the rate (1/days) follows a monotone cubic;
/// below the first and above the last it falls to 0 as core/phenology/rate.hpp says.
struct TableRate {
  struct Point {
    Temperature temperature;
    std::optional<double> days;  ///< absent: did not develop there
  };
  std::vector<Point> points;
  Source source;
};

using RateModel =
    std::variant<LinearRate, BriereRate, LactinRate, LoganRate, Logan10Rate, SchoolfieldRate, KontodimasRate, BetaRate, TableRate>;

/// Where the model as a whole comes from: its own source, or that of a linear model's constant.
const Source& source_of(const RateModel& model);
/// `linear`, `briere-1`, `briere-2`, `lactin-2`, `logan-6`, `logan-10`, `sharpe-schoolfield`, `kontodimas`, `beta`, `table`: the word in
/// files and JSON.
std::string_view word_for(const RateModel& model);

/// Rate of one stage: `model` describes a span of development of which the stage takes `share`, so the stage's rate is model/share.
struct StageRate {
  RateModel model;
  double share = 1.0;
  /// The linear model where it is one; null otherwise.
  const LinearRate* linear() const { return std::get_if<LinearRate>(&model); }
};

}  // namespace leafturn::pest
