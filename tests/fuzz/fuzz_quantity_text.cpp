// Quantities and times as typed on the command line: an error that can be said, or a finite value.
#include <cmath>

#include "io/quantity_text.hpp"
#include "io/time_text.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

namespace {

template <class T, class Read>
void judge(const Result<T>& result, Read read) {
  if (result) {
    fuzz::require(std::isfinite(read(*result)), "a quantity is finite");
  } else {
    fuzz::readable(result.error());
  }
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  judge(io::parse_temperature(text, "x"), [](Temperature t) { return t.celsius(); });
  judge(io::parse_area(text, "x"), [](Area a) { return a.square_metres(); });
  judge(io::parse_volume(text, "x"), [](Volume v) { return v.litres(); });
  judge(io::parse_mass(text, "x"), [](Mass m) { return m.grams(); });
  judge(io::parse_length(text, "x"), [](Length l) { return l.metres(); });
  judge(io::parse_speed(text, "x"), [](Speed s) { return s.metres_per_second(); });
  judge(io::parse_pressure(text, "x"), [](Pressure p) { return p.hectopascals(); });
  judge(io::parse_longitude(text, "x"), [](Angle a) { return a.degrees(); });
  judge(io::parse_whole(text, "x", -5, 5), [](int n) { return static_cast<double>(n); });
  if (const auto time = io::parse_offset_time(text, "x"); !time) fuzz::readable(time.error());
  if (const auto time = io::parse_wall_time(text, Zone{}, "x"); !time) fuzz::readable(time.error());
  return 0;
}
