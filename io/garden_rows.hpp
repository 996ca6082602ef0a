#pragma once
/// A garden's CSV files, row by row: which columns there are, and cells as values or as one error with file, line and column.

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"
#include "io/csv.hpp"

namespace leafturn::io {

/// A file's rows by column name. `needed` columns must be there (`garden.column_missing`), `others` may; the rest is noted.
class GardenTable {
 public:
  static Result<GardenTable> read(std::string_view bytes, const std::string& name, std::initializer_list<std::string_view> needed,
                                  std::initializer_list<std::string_view> others, std::vector<Reason>& notes);

  std::size_t size() const { return table_.rows.size(); }
  int line(std::size_t row) const { return table_.rows[row].line; }
  const std::string& file() const { return file_; }
  Where where(std::size_t row, std::string_view column) const { return {file_, line(row), std::string(column)}; }

  /// The cell without outer blanks; empty where the file has no such column.
  std::string_view cell(std::size_t row, std::string_view column) const;

  /// `garden.cell_missing` when empty.
  Result<std::string> text(std::size_t row, std::string_view column) const;
  /// `garden.not_a_number`, `garden.impossible` outside [low, high].
  Result<double> number(std::size_t row, std::string_view column, double low, double high) const;
  /// A whole number; `garden.not_whole` besides.
  Result<int> whole(std::size_t row, std::string_view column, int low, int high) const;
  /// Nothing when empty; `garden.not_a_day`, `garden.day_far_off` outside 1900–2199.
  Result<std::optional<Date>> day(std::size_t row, std::string_view column) const;
  /// A time with an offset, or a bare one of `zone`; a bare day stands for `day_second` of it. `garden.not_a_time`, `garden.day_far_off`.
  Result<Instant> time(std::size_t row, std::string_view column, const Zone& zone, std::int32_t day_second) const;

 private:
  /// What an event may hold: short plain text (`garden.text_too_long`, `garden.text_characters`).
  Status check_texts() const;

  CsvTable table_;
  std::string file_;
  std::vector<std::pair<std::string, std::size_t>> columns_;
};

/// The `most` words of a list closest to one that isn't in it, closest first, as 'a, b, c'.
std::string nearest_words(std::string_view word, std::vector<std::string> list, std::size_t most);

/// Names and EPPO codes of the library's pests closest to one that isn't in it.
std::string nearest_pests(std::string_view pest, const pest::Library& library);
/// The words a count of this pest may use, as 'egg, larva, larva-1 …'.
std::string stage_words(const pest::Dossier& dossier);

}  // namespace leafturn::io
