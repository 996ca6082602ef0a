#pragma once
/// What a life table and a stage matrix say about how fast a population grows. Rates and ages are in one unit of time, the table's own.
///
/// Sources, from memory, each checked in tests/population: Lotka's equation Σ e^(−r·x)·l·m = 1; Leslie 1945 (Biometrika 33:183–212) and
/// Lefkovitch 1965 (Biometrics 21:1–18) for the matrices; Caswell, Matrix Population Models, for a stage of fixed length.

#include <optional>
#include <span>
#include <vector>

namespace leafturn::population {

/// One row of a life table.
struct AgeClass {
  double age = 0.0;
  double alive = 0.0;   ///< share of the newborn alive at this age (l)
  double births = 0.0;  ///< female young per female of this age (m)
};

struct LifeTable {
  double net_reproduction = 0.0;  ///< R0 = Σ l·m: female young per newborn female
  double generation_time = 0.0;   ///< Tc = Σ x·l·m / R0, mean age of mothers in a cohort
  double rough_growth = 0.0;      ///< ln R0 / Tc, near the exact rate when R0 is near 1
  double growth = 0.0;            ///< r of Lotka's equation, exact to 1e-13
  double factor = 1.0;            ///< e^r: growth in one unit of time
  double doubling_time = 0.0;     ///< ln 2 / r; +∞ when r = 0, negative when the population shrinks
};
/// Nothing when no age has births, when those with births all have age 0, or when no r solves Lotka's equation (births at age 0 above 1).
std::optional<LifeTable> life_table(std::span<const AgeClass> rows);
/// Σ e^(−growth·x)·l·m.
double lotka_sum(std::span<const AgeClass> rows, double growth);

struct StageGrowth {
  double factor = 0.0;         ///< dominant eigenvalue: growth in one step
  std::vector<double> stable;  ///< right eigenvector, sum 1: the stages' shares in the end
  std::vector<double>
      value;  ///< left eigenvector, first 1: what one of the stage is worth in first-stage individuals; 0 when it breeds no more
};
/// Of a square matrix by rows, next = matrix · now, entries ≥ 0, by shifted power iteration (also for life cycles that would beat in
/// rhythm). Nothing for a matrix that isn't square or has an entry below 0 or not finite, where the first stage is worth nothing, or when
/// 100,000 rounds don't settle it to 1e-14.
std::optional<StageGrowth> stage_growth(std::span<const double> matrix, std::size_t stages);

/// Share per step of those in a stage that takes a fixed number of steps, survived with `survival` each, in a population growing by
/// `factor`.
struct StageStep {
  double leaving = 0.0;  ///< share of the survivors that goes on
  double stay = 0.0;     ///< survives and stays: diagonal of the matrix
  double go_on = 0.0;    ///< survives and goes on: below the diagonal
};
StageStep stage_step(double survival, double steps, double factor);

}  // namespace leafturn::population
