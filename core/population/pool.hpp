#pragma once
/// Forecasts of counts beyond the model: pooled with what this garden's counts alone say of the next one, and with a surge that neither
/// saw coming, in shares that the garden's own scores teach. A linear pool (Stone 1961, Ann. Math. Stat. 32:1339–1342; weights by past
/// scores after Hall & Mitchell 2007, Int. J. Forecasting 23:1–13; both from memory). Forecasts of counts only: what is believed to be in
/// the beds, and the gate, rest on the model alone. Inside core/population.

#include <array>
#include <map>
#include <optional>
#include <span>
#include <vector>

#include "core/population/counts.hpp"
#include "core/population/observe.hpp"

namespace leafturn::population {

/// The bed's own counts of a stage, the newest first in weight, with a whisper of the other beds'.
class CountsAlone {
 public:
  explicit CountsAlone(std::size_t beds) : last_(beds) {}
  /// `left`: share of the stage that what was done in the bed since it was last looked at leaves (left_by).
  NegativeBinomial expect(const Sighting& sighting, double left) const;
  /// Whether any bed's counts were in these stages; else nothing is expected of it.
  bool knows(const Sighting& sighting) const;
  /// What all beds together would give, per as many plants.
  double anywhere(const Sighting& sighting) const;
  /// Days since the bed was last looked at, at most 28; 28 where it never was.
  double age(const Sighting& sighting) const;
  std::optional<StepNumber> looked(std::size_t bed) const { return last_[bed]; }
  /// What a sighting says of k; before it is added.
  void score(const Sighting& sighting, double left);
  /// Sightings in order of time.
  void add(const Sighting& sighting, double left);

 private:
  struct Sum {
    double count = 0.0, plants = 0.0;
    StepNumber at = 0;
    void add(const Sighting& s, double days);
    double left(StepNumber now, double days) const;
  };
  using Kind = std::pair<std::vector<std::size_t>, bool>;  ///< stages, and whether they were counted in masses
  struct Sums {
    std::vector<Sum> in_bed;
    Sum lately, of_late;  ///< all beds, forgotten as fast as a bed's own, and slower
  };
  static constexpr std::array<double, 9> ks{0.15, 0.25, 0.4, 0.65, 1.0, 1.6, 2.6, 5.0, 12.0};
  double density(const Sighting& sighting, double left) const;
  double k(double mean) const;

  std::map<Kind, Sums> sums_;
  std::vector<std::optional<StepNumber>> last_;             ///< [bed]
  std::array<std::array<double, ks.size()>, 2> support_{};  ///< [few expected, many][k] log of past scores
};

/// Share of the sighting's stages that hand work, sprays and pulling since `from` leave, by the middle of what is published of each.
double left_by(std::span<const Deed> deeds, const Sighting& sighting, StepNumber from);

class Pool {
 public:
  /// `growth_per_day`: of the pest when nothing holds it back.
  Pool(std::size_t beds, double growth_per_day);
  /// Members of the whole forecast, with weights of sum 1: the model's, then the others. `model` evenly weighted.
  struct Forecast {
    std::vector<NegativeBinomial> members;
    std::vector<double> weights;
    double a = 1.0, b = 1.0;  ///< for CountMixture::set_right
  };
  /// `deeds`: all that were or would be done, in any bed. `days_ahead`: since anything was last counted.
  Forecast of(const Sighting& sighting, std::vector<NegativeBinomial> model, std::span<const Deed> deeds, double days_ahead) const;
  /// Takes in what came in a visit, with the model's forecasts of it.
  void learn(std::span<const Sighting> sightings, std::span<const std::vector<NegativeBinomial>> model, std::span<const Deed> deeds);

 private:
  struct Others {
    NegativeBinomial alone, surge;
    double alone_share = 0.0, surge_share = 0.0;
  };
  Others others(const Sighting& sighting, double left, double model_mean, double alone_share, double surge_scale) const;
  void score(const Sighting& sighting, double left, const std::vector<NegativeBinomial>& model);
  double left(const Sighting& sighting, std::span<const Deed> deeds) const;
  static constexpr std::array<double, 5> alone_shares{0.2, 0.45, 0.65, 0.8, 0.92};
  static constexpr std::array<double, 6> surge_scales{0.05, 0.2, 0.6, 1.3, 2.6, 5.0};

  CountsAlone alone_;
  double growth_;
  std::array<std::array<double, surge_scales.size()>, alone_shares.size()> support_{};
};

}  // namespace leafturn::population
