#include "app/ask_time.hpp"

#include "io/quantity_text.hpp"
#include "io/time_text.hpp"
#include "io/zone.hpp"

namespace leafturn::app {

Result<std::optional<Instant>> asked_time(OpenGarden& garden, const std::optional<std::string>& at,
                                          const std::optional<std::string>& zone) {
  if (!at) return std::optional<Instant>{};
  const auto clock = zone ? io::load_zone(*zone) : garden.zone();
  if (!clock) return fail(clock.error());
  const auto time = io::parse_time(*at, *clock, "--at");
  if (!time) return fail(time.error());
  return std::optional<Instant>{*time};
}

Result<int> parse_port(const std::optional<std::string>& text, int usual, const std::string& field) {
  return text ? io::parse_whole(*text, field, 0, 65535) : Result<int>{usual};
}

}  // namespace leafturn::app
