#pragma once
/// How often somebody may ask: a measure that empties with each question and fills again with time.

#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "core/base/date.hpp"

namespace leafturn::server {

class Limits {
 public:
  enum class Of {
    request,      ///< one device: 600 at once, 60 a second
    pairing,      ///< one address's codes: 10 at once, one in 12 s
    all_pairing,  ///< everybody's codes together: 60 at once, one in 3 s
  };

  /// Counts one; the time to wait when that is too many. A clock that goes backwards fills nothing. Remembers at most 4,096 askers.
  std::optional<Duration> too_often(Of what, const std::string& asker, Instant now);

 private:
  struct Measure {
    double left = 0.0;
    Instant at;
  };
  void forget_the_full(Instant now);
  std::mutex mutex_;
  std::map<std::pair<Of, std::string>, Measure> measures_;
};

}  // namespace leafturn::server
