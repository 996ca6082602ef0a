#pragma once
/// A table of degree-days from a weather file.

#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/phenology/degree_days.hpp"

namespace leafturn::app {

/// As typed; nothing here has been looked at yet.
struct DegreeDaysQuestion {
  std::string weather;  ///< path
  std::string lower;    ///< `50F`
  std::optional<std::string> upper;
  std::string method = "single-sine";
  std::optional<std::string> cutoff;    ///< default: `horizontal` with an upper threshold, else `none`
  std::optional<std::string> from, to;  ///< default: the file's first and last day
  std::string unit = "C";               ///< of the answer: `C` or `F`
  std::optional<std::string> units;     ///< of a file that doesn't say: `F`, `C`, `us`, `si`
  bool strict = false;                  ///< refuse a sum across days without weather
};

struct DegreeDaysAnswer {
  DegreeDaysQuestion asked;
  phenology::Method method = phenology::Method::single_sine;
  phenology::Cutoff cutoff = phenology::Cutoff::none;
  phenology::Thresholds thresholds;
  bool fahrenheit = false;  ///< the answer's unit
  Date from, to;
  phenology::DegreeDayTable table;
  DegreeDays total;
  std::size_t filled = 0;     ///< days computed from their neighbours
  std::vector<Reason> notes;  ///< of the weather file's reader
};

/// Errors: those of the file and its reader, of the quantities, `degree_days.method`, `degree_days.cutoff`, `degree_days.unit`,
/// `degree_days.no_upper`, `degree_days.upper_unused`, `degree_days.gap` (strict, naming the first gap), and phenology::accumulate's.
Result<DegreeDaysAnswer> degree_days(const DegreeDaysQuestion& question);

std::string_view word_for(phenology::Method method);
std::string_view word_for(phenology::Cutoff cutoff);

}  // namespace leafturn::app
