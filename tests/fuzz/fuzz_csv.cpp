#include "io/csv.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto table = io::read_csv(fuzz::text_of(data, size), "any.csv");
  if (!table) {
    fuzz::readable(table.error());
    return 0;
  }
  for (const auto& row : table->rows) {
    fuzz::require(row.cells.size() == table->header.size(), "every row is as long as the header");
    fuzz::require(row.line > 1, "every row knows its line");
  }
  return 0;
}
