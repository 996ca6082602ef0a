#include "server/limits.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::server {
namespace {

struct Rate {
  double at_once, per_second;
};

Rate rate_of(Limits::Of what) {
  switch (what) {
    case Limits::Of::request:
      return {600.0, 60.0};
    case Limits::Of::pairing:
      return {10.0, 1.0 / 12.0};
    case Limits::Of::all_pairing:
      return {60.0, 1.0 / 3.0};
  }
  return {1.0, 1.0};
}

double filled(double left, Instant since, Instant now, Rate rate) {
  const double seconds = std::max(0.0, static_cast<double>((now - since).microseconds) / 1e6);
  return std::min(rate.at_once, left + seconds * rate.per_second);
}

constexpr std::size_t most_askers = 4096;

}  // namespace

std::optional<Duration> Limits::too_often(Of what, const std::string& asker, Instant now) {
  const std::lock_guard lock(mutex_);
  const Rate rate = rate_of(what);
  if (measures_.size() >= most_askers) forget_the_full(now);
  auto& measure = measures_.try_emplace({what, asker}, Measure{rate.at_once, now}).first->second;
  measure.left = filled(measure.left, measure.at, now, rate);
  measure.at = now;
  if (measure.left < 1.0) return Duration::seconds(static_cast<std::int64_t>(std::ceil((1.0 - measure.left) / rate.per_second)));
  measure.left -= 1.0;
  return std::nullopt;
}

/// Who has a full measure again is as good as unknown. Where that frees nothing, somebody asks from thousands of addresses: everybody
/// begins anew, and the measure for all together still holds.
void Limits::forget_the_full(Instant now) {
  std::erase_if(measures_, [&](const auto& one) {
    const Rate rate = rate_of(one.first.first);
    return filled(one.second.left, one.second.at, now, rate) >= rate.at_once;
  });
  if (measures_.size() >= most_askers) std::erase_if(measures_, [](const auto& one) { return one.first.first != Of::all_pairing; });
}

}  // namespace leafturn::server
