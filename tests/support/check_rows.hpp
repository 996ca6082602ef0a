#pragma once
/// Checks of the main job against something outside the project. Each is one row: what was asked, what the source says, what we got.
/// `./check` prints all rows at its end; a row whose value is off fails its test like any assertion.

#include <string>

namespace leafturn::test {

/// How the expected value is known.
enum class From {
  published,    ///< a number printed in the source
  quadrature,   ///< the stated curve or formula integrated independently
  independent,  ///< computed by another program or library named in the source
  practice,     ///< common practice, no source
  memory,       ///< a published value known from memory only
};

struct Row {
  std::string id;      ///< short and lasting: `sun.spa.zenith`
  std::string what;    ///< with the input
  std::string source;  ///< 'Reda & Andreas 2004, worked example' or 'common practice, no source'
  std::string known;   ///< as the reference marks it: seen, seen-2nd, memory, derived, practice
  From from = From::published;
  double expected = 0.0;
  double tolerance = 0.0;
  std::string unit;
};

/// Adds the row to the report and fails the running test when |got − expected| > tolerance.
void check_row(const Row& row, double got);
/// For a range: expected is `low`…`high`.
void check_row_between(const Row& row, double low, double high, double got);
/// A known miss, kept in the open: the row is reported as a miss with the size given, and fails when it stops missing by about that much
/// (so that the text about it gets mended).
void known_miss(const Row& row, double got, double miss_low, double miss_high);

}  // namespace leafturn::test
