#pragma once
/// What a bed's own counts have said of one unknown so far, apart from what a cloud of few members would have said by chance. Inside
/// core/population.
///
/// Weights that have nothing to do with an unknown still move its mean and narrow its cloud, by 1/effective size a visit: after a season
/// every unknown would look learned. So the moves of a season are summed beside the variance that chance gives them, and of their sum M
/// with variance V the share max(0, 1 − V/M²) is believed (the positive-part estimator of James & Stein 1961, Proc. 4th Berkeley Symp.
/// 1:361–379, taken for one number as an empirical Bayes rule; from memory).

#include <span>

#include "core/population/assimilate.hpp"

namespace leafturn::population {

/// A cloud of z reweighed once.
struct Reweighing {
  Moments before, after;         ///< as weighed
  double shift_by_chance = 0.0;  ///< variance of the move of the mean, were weights and z unrelated
  double narrow_before = 1.0;    ///< a weighed variance falls short of the true one by this factor, 1 − Σw²
  double narrow_after = 1.0;
  double narrow_by_chance = 0.0;  ///< variance of the logarithm of the variances' ratio
};
Reweighing reweighing(std::span<const double> z, std::span<const double> before, std::span<const double> after);

class Gathered {
 public:
  /// What the cloud, as it was before, is to become: its mean moved by `shift`, its variance `variance`.
  struct Heard {
    double shift = 0.0;
    double variance = 1.0;
  };
  Heard hear(const Reweighing& said);

 private:
  struct Sum {
    double moved = 0.0, by_chance = 0.0, believed = 0.0;
    double add(double move, double chance);  ///< how much further the believed sum has come
  };
  Sum mean_, log_variance_;
  double doubt_ = 0.0;  ///< variance that remains in what is believed of the mean
};

}  // namespace leafturn::population
