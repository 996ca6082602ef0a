#pragma once
/// One question to one server and its answer: no redirect followed, nothing tried again. The HTTP library shows in no header of this room.

#include <chrono>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "fetch/address.hpp"

namespace leafturn::fetch {

struct Limits {
  std::chrono::milliseconds connect{10'000};  ///< until somebody answers, for each of the host's addresses
  std::chrono::milliseconds silence{20'000};  ///< without a byte
  std::chrono::milliseconds whole{90'000};    ///< one exchange, from the connection to the last byte
  std::size_t most_bytes = 64U << 20U;        ///< of a body, as sent and unpacked
};

struct Ask {
  Address address;
  std::vector<std::pair<std::string, std::string>> headers;
  std::string ca_file;  ///< certificates to trust instead of the system's; empty = the system's
  Limits limits;
};

struct Reply {
  int status = 0;
  std::map<std::string, std::string> headers;  ///< names in lower case; of a name given twice, the first
  std::string body;                            ///< of a 200 only
  bool whole_for_sure = false;                 ///< its length was told, or it came in counted pieces

  /// Empty when it isn't there.
  std::string_view header(const std::string& lower_case_name) const;
};

/// What went wrong with the connection, and whether that may pass by itself.
struct Trouble {
  Error error;
  bool may_pass = false;
};

/// Errors: `fetch.no_such_host`, `fetch.refused`, `fetch.timeout`, `fetch.hung_up` (no answer), `fetch.cut_off` (half an answer),
/// `fetch.too_large`, `fetch.garbled`, `fetch.insecure` (no TLS), `fetch.certificate`, `fetch.certificate_host`, `fetch.certificates` (the
/// certificates to trust can't be read). The look-up of a host's name has the system's own time limit.
tl::expected<Reply, Trouble> exchange(const Ask& ask);

}  // namespace leafturn::fetch
