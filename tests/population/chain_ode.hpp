#pragma once
/// The same chains, integrated in another way: the ordinary differential equations of every substage, classical Runge–Kutta of fourth order
/// in double precision, one minute a step, rates constant within the hour. Shares no code with core/population but the description of a
/// life.

#include <functional>
#include <vector>

#include "core/population/life.hpp"

namespace leafturn::test {

class ChainOde {
 public:
  explicit ChainOde(const population::Life& life);
  std::vector<double>& state() { return x_; }  ///< [substage]
  /// One hour at these rates (share of the stage's development a day) and deaths (a day), by stage; an adult lays `young` in all.
  void hour(const std::vector<double>& rates, const std::vector<double>& deaths, double young);
  double in_stage(std::size_t stage) const;
  double laid() const { return laid_; }

 private:
  double slope(const std::vector<double>& x, std::vector<double>& out) const;  ///< also young a day
  const population::Life* life_;
  std::vector<double> x_, leave_, die_;
  double lay_ = 0.0, laid_ = 0.0;
};

}  // namespace leafturn::test
