#pragma once
/// A question asked with a clock that stands still, chance without chance and pauses that are only written down.

#include <string>
#include <vector>

#include "fetch/get.hpp"

namespace leafturn::fetch {

struct Getting {
  Question question;
  Instant now = Instant::parse("2026-06-11T12:00Z").value();
  double chance = 0.5;         ///< pauses as they are named: 1, 2, 4 seconds
  std::vector<double> pauses;  ///< in seconds

  explicit Getting(const std::string& url) {
    question.address = parse_address(url).value();
    question.limits = {std::chrono::milliseconds(2000), std::chrono::milliseconds(2000), std::chrono::milliseconds(4000), 1U << 20U};
  }
  Result<Got> operator()() {
    return get(question, {[this] { return now; }, [this](Duration d) { pauses.push_back(static_cast<double>(d.microseconds) / 1e6); },
                          [this] { return chance; }});
  }
  /// The error's code, or what came.
  std::string outcome() {
    const auto got = (*this)();
    return got ? "got " + got->bytes : got.error().code;
  }
};

}  // namespace leafturn::fetch
