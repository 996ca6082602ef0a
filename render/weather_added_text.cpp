#include "render/table.hpp"
#include "render/weather_added.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string sentence(const char* code, std::vector<Fact> facts, const words::Style& style) {
  return wrapped(words::say({code, std::move(facts)}, style), page_width, 0) + "\n";
}

}  // namespace

std::string weather_added_text(const app::AddedWeather& added, const words::Style& style) {
  std::string out = sentence(added.receipt ? "weather_added.added" : "weather_added.had", {{"name", added.name}}, style);
  out +=
      sentence("weather_added.days", {{"n", static_cast<std::int64_t>(added.days)}, {"first", added.first}, {"last", added.last}}, style);
  if (added.issued) out += sentence("weather_added.issued", {{"day", *added.issued}}, style);
  if (added.receipt) out += sentence("ledger.text.head", {{"head", added.receipt->link.hex()}}, style);
  return out;
}

std::string weather_fetched_text(const app::FetchedWeather& fetched, const words::Style& style) {
  std::string out;
  if (fetched.unchanged) out += sentence("weather_added.unchanged", {{"address", fetched.address}}, style);
  if (fetched.stale_since) out += sentence("weather_added.stale", {{"time", fetched.stale_since->iso_utc()}}, style);
  return out + weather_added_text(fetched.added, style);
}

}  // namespace leafturn::render
