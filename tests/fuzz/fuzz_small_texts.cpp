// The small things people write: dates, times, rates, ids, templates.
#include "core/base/date.hpp"
#include "core/base/ids.hpp"
#include "core/label/card.hpp"
#include "tests/fuzz/fuzz.hpp"
#include "words/template.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  if (const auto day = Date::parse(text)) fuzz::require(day->iso() == text, "a date says itself");
  if (const auto time = CivilTime::parse(text)) fuzz::require(CivilTime::parse(time->iso()) == time, "a time reads itself");
  if (const auto instant = Instant::parse(text)) fuzz::require(Instant::parse(instant->iso_utc()) == instant, "an instant reads itself");
  if (const auto id = Id::parse(text)) fuzz::require(Id::parse(id->text()) == id, "an id reads itself");
  if (const auto digest = Digest::parse(text)) fuzz::require(Digest::parse(digest->hex()) == digest, "a digest reads itself");
  if (const auto rate = label::parse_rate(text); !rate) fuzz::readable(rate.error());
  const bool good = words::facts_of(text).has_value() && text.find("⟦") == std::string_view::npos;
  const std::string filled = words::fill(text, [](std::string_view) { return std::optional<std::string>{"1"}; });
  if (good) fuzz::require(filled.find("⟦") == std::string::npos, "a good template fills");
  return 0;
}
