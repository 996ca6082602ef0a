#include "io/event_json.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto event = io::decode_event(fuzz::text_of(data, size));
  if (!event) {
    fuzz::readable(event.error());
    return 0;
  }
  const std::string bytes = io::encode_event(*event);
  const auto again = io::decode_event(bytes);
  fuzz::require(again.has_value(), "what is written can be read");
  fuzz::require(io::encode_event(*again) == bytes, "reading and writing again gives the same bytes");
  return 0;
}
