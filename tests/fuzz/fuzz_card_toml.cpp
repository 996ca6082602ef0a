#include "io/card_toml.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto card = io::read_card_toml(fuzz::text_of(data, size), "any.toml");
  if (!card) fuzz::readable(card.error());
  return 0;
}
