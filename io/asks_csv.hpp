#pragma once
/// Counts not yet taken, one line each: what would be found?
///
/// Columns by header, any case: `time,bed,pest,stage,plants`, as in a garden's counts.csv without what was found. A bare time is the
/// zone's, a bare day its noon. Other columns are named in a note and left alone.
///
/// Errors, with line and column: those of a table (csv.hpp) and of its cells (garden_rows.hpp), `garden.unknown_pest`,
/// `garden.unknown_stage`, `asks.empty`, `asks.too_many` (over 20 000 lines). Whether the garden has the bed is the asking room's matter.

#include <string>
#include <string_view>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/fact.hpp"
#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::io {

struct Ask {
  int line = 0;
  Instant time;
  std::string bed, pest, stage;  ///< as given
  int plants = 1;
  const pest::Dossier* dossier = nullptr;  ///< of the library
};

struct AskTable {
  std::vector<Ask> rows;      ///< as in the file
  std::vector<Reason> notes;  ///< `garden.column_ignored`
};

Result<AskTable> read_asks_csv(std::string_view bytes, const std::string& name, const Zone& zone, const pest::Library& library);

}  // namespace leafturn::io
