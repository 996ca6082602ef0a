#pragma once
/// Errors are values. An `Error` says what is wrong (a code of the word catalogue and its facts), where (file, line,
/// field), and the catalogue adds what to do. Whoever returns one has changed nothing.

#include <string>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

#include "core/base/fact.hpp"

namespace leafturn {

/// Where in the user's input something is wrong; empty parts are left out when shown.
struct Where {
  std::string file;
  int line = 0;  ///< 1-based; 0 = not known
  std::string field;
};

/// What the command line's exit code and the server's status follow from.
enum class ErrorKind {
  bad_input,  ///< exit 2, HTTP 400/422: the user can mend it
  forbidden,  ///< exit 2, HTTP 403: understood, but not for who asks
  not_found,  ///< exit 2, HTTP 404
  conflict,   ///< exit 3, HTTP 409: someone else changed it
  cannot,     ///< exit 3, HTTP 503: disk, lock, server
};

struct Error {
  std::string code;  ///< key of the catalogue: `error.CODE.what` and `error.CODE.do`
  Where where;
  std::vector<Fact> facts;
  ErrorKind kind = ErrorKind::bad_input;
};

template <class T>
using Result = tl::expected<T, Error>;
using Status = Result<void>;

inline tl::unexpected<Error> fail(std::string code, Where where = {}, std::vector<Fact> facts = {}, ErrorKind kind = ErrorKind::bad_input) {
  return tl::unexpected<Error>(Error{std::move(code), std::move(where), std::move(facts), kind});
}
inline tl::unexpected<Error> fail(Error error) { return tl::unexpected<Error>(std::move(error)); }

}  // namespace leafturn
