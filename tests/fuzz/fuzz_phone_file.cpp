#include "io/phone_file.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto entries = io::read_phone_file(fuzz::text_of(data, size));
  if (!entries) {
    fuzz::readable(entries.error());
    return 0;
  }
  int last = 1;
  for (const io::PhoneEntry& entry : *entries) {
    fuzz::require(entry.line > last, "every entry has its line, in order, after the head");
    last = entry.line;
  }
  return 0;
}
