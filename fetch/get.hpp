#pragma once
/// A file from an address: redirects followed, passing troubles waited out, the answer unpacked and looked at.

#include <functional>
#include <optional>
#include <string>

#include "core/base/date.hpp"
#include "fetch/exchange.hpp"

namespace leafturn::fetch {

/// What a server said to tell later whether its file has changed; sent back to it as it was.
struct Validators {
  std::string etag, last_modified;
  bool empty() const { return etag.empty() && last_modified.empty(); }
};

struct Question {
  Address address;
  Validators known;     ///< of the copy at hand; empty = there is none
  std::string contact;  ///< who asks, for the User-Agent: a mail or web address; may be empty
  std::string ca_file;
  Limits limits;
};

struct Got {
  bool unchanged = false;  ///< the copy at hand is still right; no bytes
  std::string bytes;       ///< unpacked
  Validators validators;
  bool whole_for_sure = true;  ///< false when the server didn't say how long its answer is
};

/// Clock, patience and chance, so that tests need none.
struct Surroundings {
  std::function<Instant()> now;
  std::function<void(Duration)> sleep;
  std::function<double()> chance;  ///< 0 to 1, evenly
};
Surroundings real_surroundings();

/// At most 4 tries, for connections that fail, 429 and 5xx; in between 1, 2 and 4 seconds, each times 0.5 to 1.5, or as long as the server
/// asks for up to two minutes. At most 5 redirects, never from https to http. The errors of exchange(), and `fetch.bad_address`,
/// `fetch.contact`, `fetch.ca_file`, `fetch.redirects`, `fetch.bad_redirect`, `fetch.downgrade`, `fetch.later`, `fetch.status`,
/// `fetch.web_page`, `fetch.not_weather`, `fetch.encoding`.
Result<Got> get(const Question& question, const Surroundings& surroundings);

}  // namespace leafturn::fetch
