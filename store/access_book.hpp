#pragma once
/// Who may use a garden: people's names, codes that pair a device, sessions. Kept beside the ledger, never in its chain, so that a name can
/// be erased and the chain still holds. No SQL or driver type shows here. Secrets are kept as digests only.

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/ids.hpp"
#include "core/base/result.hpp"
#include "store/secret.hpp"

namespace leafturn::store {

struct Person {
  Id id;             ///< what events say in `by`
  std::string name;  ///< empty once erased
  std::string role;  ///< a word of app/may.hpp
  Instant added;
  std::optional<Instant> erased;
};

/// An open code. A person has one at most: a new one replaces it.
struct Pairing {
  Digest code;  ///< slow_digest of the code
  Id person;
  std::string device;  ///< as the lead named it; may be empty
  Instant made, until;
};

struct Session {
  Id id;
  Digest secret;  ///< SHA-256 of the secret, which only the device has
  Id person;
  std::string device;
  Instant since, seen, ends;
  std::optional<Instant> revoked;
};

struct SessionOf {
  Session session;
  Person person;
};

/// Every call may come from any thread and sees what other programs on the same file have finished. Errors of every call:
/// `access.book_busy`, `access.book_full`, `access.book_read_only`, `access.book_damaged`, `access.book_io`.
class AccessBook {
 public:
  /// Makes the file when there is none, readable by its owner only. Errors: `access.not_a_book`, `access.book_newer`.
  static Result<std::unique_ptr<AccessBook>> open(const std::string& path);
  ~AccessBook();

  /// In order of adding, erased ones too.
  Result<std::vector<Person>> people();
  Result<std::optional<Person>> person(const Id& id);
  /// `access.name_taken`.
  Status add_person(const Person& person);
  /// Name and role of one who is there. `access.name_taken`, `access.no_such_person`.
  Status change_person(const Person& person);
  /// The name and the names of devices are overwritten in the file, sessions end, an open code is gone. `access.no_such_person`.
  Status erase_person(const Id& id, Instant at);

  /// What else is kept of a person, by what it is (`certificate`); gone when they are erased.
  using Particulars = std::map<std::string, std::string>;
  Result<std::map<Id, Particulars>> particulars();
  /// Replaces those given; an empty one is forgotten. `access.no_such_person`.
  Status note_particulars(const Id& person, const Particulars& given);

  /// Of this file, for every code's digest.
  Result<Salt> salt();
  Status put_pairing(const Pairing& pairing);
  /// Uses the code up and begins `fresh` for its person and device (`fresh`'s own device where the lead named none), in one commit: of two
  /// who bring the same code, one gets in. Nothing when there is no such open code at `now`.
  Result<std::optional<SessionOf>> redeem(const Digest& code, Session fresh, Instant now);

  /// Whatever its state: the caller judges.
  Result<std::optional<SessionOf>> session_by(const Digest& secret);
  /// Latest first.
  Result<std::vector<Session>> sessions();
  Status touch(const Id& session, Instant seen);
  /// A second time changes nothing. `access.no_such_session`.
  Status revoke(const Id& session, Instant at);

 private:
  struct Inside;
  explicit AccessBook(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace leafturn::store
