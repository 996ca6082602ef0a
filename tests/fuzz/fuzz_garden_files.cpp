// The input is the files of a garden one after another, with a byte 0xFF between them.
#include "io/dossier_toml.hpp"
#include "io/garden_files.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const pest::Library library = io::built_in_library().value();
  std::string_view rest = fuzz::text_of(data, size);
  std::vector<io::NamedBytes> files;
  for (const char* name : {"garden.toml", "beds.csv", "plantings.csv", "counts.csv", "actions.csv", "weather/any.csv", "cards/any.toml"})
    files.push_back({name, std::string(fuzz::take_part(rest))});
  if (const auto garden = io::read_garden_files(files, library); !garden) fuzz::readable(garden.error());
  return 0;
}
