#include "io/active_toml.hpp"
#include "io/dossier_toml.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes = fuzz::text_of(data, size);
  if (const auto pest = io::read_pest_toml(bytes, "any.toml"); !pest) fuzz::readable(pest.error());
  if (const auto one = io::read_friend_toml(bytes, "any.toml"); !one) fuzz::readable(one.error());
  if (const auto crop = io::read_crop_toml(bytes, "any.toml"); !crop) fuzz::readable(crop.error());
  if (const auto active = io::read_active_toml(bytes, "any.toml"); !active) fuzz::readable(active.error());
  return 0;
}
