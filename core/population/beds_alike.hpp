#pragma once
/// How much what is learned in one bed says of the others: for each unknown, the covariance of its z between beds, kept beside the cloud of
/// members and used to move the other beds' clouds when one bed's has been reweighed (regression onto the observed part, as in Anderson
/// 2003, Mon. Weather Rev. 131:634–642, from memory). Inside core/population.

#include <cstddef>
#include <span>
#include <vector>

namespace leafturn::population {

class BedsAlike {
 public:
  BedsAlike() = default;
  /// Variance 1 in each bed, covariance `likeness` between any two.
  BedsAlike(std::size_t beds, double likeness);

  struct Move {
    double shift = 0.0;   ///< added to every z
    double narrow = 1.0;  ///< then distances from the mean times this
  };
  /// In `bed`, mean moved by `shift` and variance went from `before` to `after`. What that makes of each bed; that of `bed` itself is
  /// nothing.
  std::vector<Move> learned(std::size_t bed, double shift, double before, double after);
  /// What a bed's own count made of it: its mean moved by `shift`, its variance went from `before` to `after`.
  struct Word {
    std::size_t bed = 0;
    double shift = 0.0, before = 1.0, after = 1.0;
  };
  /// Several beds that speak at once, each of what it was before any had spoken. What each bed, already moved by its own word, has yet to
  /// be moved by so that all agree: as if each had spoken after hearing those before it. The order makes no difference.
  std::vector<Move> together(std::span<const Word> words);
  double covariance(std::size_t a, std::size_t b) const { return c_[a * beds_ + b]; }

 private:
  std::size_t beds_ = 0;
  std::vector<double> c_;
};

}  // namespace leafturn::population
