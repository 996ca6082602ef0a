#pragma once
/// People, pairing a device by a code used once, sessions that end. Times are the server's; what a session may do follows from its
/// person's role at that moment, so a change of role or a revocation holds from the next request on.

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/may.hpp"
#include "core/base/result.hpp"
#include "store/access_book.hpp"

namespace leafturn::app {

inline constexpr Duration code_life = Duration::seconds(10 * 60);
inline constexpr Duration session_idle = Duration::seconds(30 * 86400);   ///< not seen for so long: ended
inline constexpr Duration session_life = Duration::seconds(180 * 86400);  ///< a season; then the device is paired again

struct Person {
  Id id;
  std::string name;  ///< empty once erased
  Role role = Role::reader;
  Instant added;
  std::optional<Instant> erased;
};

/// What the records and the crew cards ask of a person. Absent: not known, which is never 'yes'.
struct Particulars {
  std::optional<bool> adult;
  std::optional<Date> trained_until;  ///< for handling sprays, by whoever trains under the law here
  std::string certificate;            ///< number of the applicator's certificate or licence
  std::string address;
  std::optional<int> minutes;  ///< there is for work in a day
};
/// As typed; what isn't given stays, an empty text forgets.
struct ParticularsTyped {
  std::optional<std::string> adult, trained_until, certificate, address, minutes;
};

struct SessionView {
  Id id, person;
  std::string device;
  Instant since, seen;
  Instant ends;  ///< the earlier of idle and absolute end, revocation included
  bool live = false;
};

/// Who asks. Without a person: somebody at the garden's own computer, who acts as lead.
struct Who {
  Role role = Role::reader;
  std::optional<Person> person;
  std::optional<SessionView> session;
};

struct OpenCode {
  std::string code;  ///< eight letters and digits, told once and kept as a digest only
  Person person;
  std::string device;
  Instant until;
};

struct Paired {
  std::string secret;  ///< for the device's cookie; kept as a digest only
  Who who;
};

class Access {
 public:
  /// `folder/access.db` of a garden, made when there is none. Errors: `app.no_garden`, those of store::AccessBook::open.
  static Result<std::unique_ptr<Access>> open(const std::string& folder);

  Result<std::vector<Person>> people();
  /// By id or, of those not erased, by name. `access.no_such_person`.
  Result<Person> find(const std::string& id_or_name);
  /// Errors: `access.bad_name` (1 to 60 letters, nothing unprintable), `access.no_such_role`, `access.name_taken`.
  Result<Person> add(const std::string& name, const std::string& role, Instant now);
  Result<Person> change(const Id& id, const std::optional<std::string>& name, const std::optional<std::string>& role);
  /// Forgets the name and the names of devices for good, ends every session. `confirm` must be the name, because nothing brings it back:
  /// `access.not_confirmed`.
  Status erase(const Id& id, const std::string& confirm, Instant now);

  /// By reference, as events have it in `by`.
  Result<std::map<std::string, Particulars>> particulars();
  /// Errors: `access.no_such_person`, `access.bad_particular` (adult is `yes` or `no`, a day, 1 to 1440 minutes, texts up to 200 bytes).
  Status note(const Id& person, const ParticularsTyped& typed);

  /// A code for this person, good for ten minutes and once. An earlier one that is still open no longer holds. `access.no_such_person`,
  /// `access.bad_device`.
  Result<OpenCode> offer(const Id& person, const std::string& device, Instant now);
  /// A new session with a new secret, whatever the device had before. One error for a code that is wrong, used or too old, so that guessing
  /// teaches nothing: `access.code_not_good`. Slow on purpose (Argon2id): the caller limits how often.
  Result<Paired> pair(const std::string& typed_code, const std::string& device, Instant now);

  /// The live session of this secret; nothing when it is unknown, revoked or ended.
  Result<std::optional<Who>> who(std::string_view secret, Instant now);
  /// The same by the session's id, for connections that stay open: is it live still?
  Result<bool> live(const Id& session, Instant now);
  /// Latest first, ended ones too.
  Result<std::vector<SessionView>> sessions(Instant now);
  Status revoke(const Id& session, Instant now);
  /// Every live session of a person, or of their devices of this name; how many that were.
  Result<int> sign_out(const Id& person, const std::string& device, Instant now);

 private:
  explicit Access(std::unique_ptr<store::AccessBook> book);
  std::unique_ptr<store::AccessBook> book_;
  store::Salt salt_{};
};

/// What a page sends back in a header with every write, so that another site's page, which can't read it, can't write: derived from the
/// session's secret, which it doesn't give away.
std::string token_of(std::string_view secret);
bool token_fits(std::string_view secret, std::string_view given);

}  // namespace leafturn::app
