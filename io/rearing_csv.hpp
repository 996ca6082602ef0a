#pragma once
/// Days at constant temperatures, one line a temperature (or a cage).
///
/// Columns by header, any case: the temperature as `temp_c`, `temperature_c`, `temp_f` or `temperature_f`, or as `temp` or `temperature`
/// with the unit in each cell (`20C`, `68F`); `days`, where `none` says that none developed; optional `n` (individuals) and `sd` (of days
/// between them). An empty cell of `days` is read as `none`, with a note. Other columns are named in a note and left alone.
///
/// Errors, with line and column: those of a table (csv.hpp), `rearing.no_temperature`, `rearing.two_temperatures`, `rearing.no_days`
/// (columns), `rearing.temperature` (not a number, or outside −20 °C to 60 °C), `rearing.days` (not from 0.01 to 1000), `rearing.n`,
/// `rearing.sd`, `rearing.empty`, `rearing.too_many` (over 500 lines); those of quantity_text.hpp for cells with units.

#include <string>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/base/result.hpp"
#include "core/phenology/fit.hpp"

namespace leafturn::io {

struct RearingTable {
  std::vector<phenology::Rearing> rows;  ///< as in the file
  std::vector<Reason> notes;             ///< `rearing.column_ignored`, `rearing.days_empty`
};

Result<RearingTable> read_rearing_csv(std::string_view bytes, const std::string& name);

}  // namespace leafturn::io
