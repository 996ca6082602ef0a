#include "io/asks_csv.hpp"
#include "io/dossier_toml.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const auto library = io::built_in_library();
  const auto table = io::read_asks_csv(fuzz::text_of(data, size), "any.csv", Zone::fixed(-6 * 3600), *library);
  if (!table) {
    fuzz::readable(table.error());
    return 0;
  }
  fuzz::require(!table->rows.empty(), "an accepted table asks something");
  for (const io::Ask& ask : table->rows) {
    fuzz::require(ask.dossier != nullptr && !pest::stages_for(*ask.dossier, ask.stage).stages.empty(), "pest and stage are known");
    fuzz::require(ask.plants >= 1 && ask.line >= 2 && !ask.bed.empty(), "every row has its line, bed and plants");
  }
  return 0;
}
