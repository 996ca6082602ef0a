#include "app/access.hpp"

#include <algorithm>
#include <filesystem>

#include "app/entropy.hpp"
#include "core/base/sha256.hpp"
#include "core/base/text.hpp"

namespace leafturn::app {
namespace {

constexpr std::size_t most_name = 60;
/// 'Last seen' is written no oftener than this: a page that reads doesn't wait for the disk.
constexpr Duration seen_step = Duration::seconds(600);

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  return first == std::string::npos ? std::string{} : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

std::size_t letters_in(std::string_view utf8) {
  return static_cast<std::size_t>(
      std::count_if(utf8.begin(), utf8.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xc0U) != 0x80U; }));
}

Result<std::string> good_name(const std::string& given, const char* code, const char* field) {
  std::string name = trimmed(given);
  if (name.empty() || !is_plain_text(name) || letters_in(name) > most_name) return fail(code, {"", 0, field});
  return name;
}

Result<Role> good_role(const std::string& word) {
  if (const auto role = parse_role(word)) return *role;
  return fail("access.no_such_role", {"", 0, "role"}, {{"given", word}});
}

/// A role this program doesn't know (a newer one wrote it) may as little as can be.
Person known(const store::Person& stored) {
  return {stored.id, stored.name, parse_role(stored.role).value_or(Role::reader), stored.added, stored.erased};
}

SessionView view_of(const store::Session& session, const std::optional<Instant>& person_erased, Instant now) {
  const Instant ends = std::min(session.seen + session_idle, session.ends);
  const bool live = !session.revoked && !person_erased && now < ends;
  return {session.id, session.person, session.device, session.since, session.seen, std::min(session.revoked.value_or(ends), ends), live};
}

Who who_of(const store::SessionOf& found, Instant now) {
  const Person person = known(found.person);
  return {person.role, person, view_of(found.session, found.person.erased, now)};
}

tl::unexpected<Error> nobody(const std::string& asked) {
  return fail("access.no_such_person", {}, {{"person", asked}}, ErrorKind::not_found);
}

}  // namespace

Access::Access(std::unique_ptr<store::AccessBook> book) : book_{std::move(book)} {}

Result<std::unique_ptr<Access>> Access::open(const std::string& folder) {
  std::error_code unseen;
  if (!std::filesystem::exists(std::filesystem::path(folder) / "ledger.db", unseen))
    return fail("app.no_garden", {folder, 0, {}}, {}, ErrorKind::not_found);
  auto book = store::AccessBook::open((std::filesystem::path(folder) / "access.db").string());
  if (!book) return fail(book.error());
  auto salt = (*book)->salt();
  if (!salt) return fail(salt.error());
  auto access = std::unique_ptr<Access>(new Access(std::move(*book)));
  access->salt_ = *salt;
  return access;
}

Result<std::vector<Person>> Access::people() {
  const auto stored = book_->people();
  if (!stored) return fail(stored.error());
  std::vector<Person> found;
  std::transform(stored->begin(), stored->end(), std::back_inserter(found), known);
  return found;
}

Result<Person> Access::find(const std::string& id_or_name) {
  const auto all = people();
  if (!all) return fail(all.error());
  const auto id = Id::parse(id_or_name);
  for (const auto& person : *all)
    if (id ? person.id == *id : !person.erased && person.name == id_or_name) return person;
  return nobody(id_or_name);
}

Result<Person> Access::add(const std::string& name, const std::string& role, Instant now) {
  const auto called = good_name(name, "access.bad_name", "name");
  if (!called) return fail(called.error());
  const auto as = good_role(role);
  if (!as) return fail(as.error());
  const store::Person person{fresh_id(now), *called, std::string(word_for(*as)), now, {}};
  if (const auto added = book_->add_person(person); !added) return fail(added.error());
  return known(person);
}

Result<Person> Access::change(const Id& id, const std::optional<std::string>& name, const std::optional<std::string>& role) {
  const auto stored = book_->person(id);
  if (!stored) return fail(stored.error());
  if (!*stored) return nobody(id.text());
  store::Person person = **stored;
  if (name) {
    const auto called = good_name(*name, "access.bad_name", "name");
    if (!called) return fail(called.error());
    person.name = *called;
  }
  if (role) {
    const auto as = good_role(*role);
    if (!as) return fail(as.error());
    person.role = word_for(*as);
  }
  if (const auto changed = book_->change_person(person); !changed) return fail(changed.error());
  return known(person);
}

Status Access::erase(const Id& id, const std::string& confirm, Instant now) {
  const auto stored = book_->person(id);
  if (!stored) return fail(stored.error());
  if (!*stored || (*stored)->erased) return nobody(id.text());
  if (trimmed(confirm) != (*stored)->name) return fail("access.not_confirmed", {"", 0, "confirm"});
  return book_->erase_person(id, now);
}

Result<OpenCode> Access::offer(const Id& person, const std::string& device, Instant now) {
  const auto stored = book_->person(person);
  if (!stored) return fail(stored.error());
  if (!*stored || (*stored)->erased) return nobody(person.text());
  std::string named;
  if (!trimmed(device).empty()) {
    const auto good = good_name(device, "access.bad_device", "device");
    if (!good) return fail(good.error());
    named = *good;
  }
  const std::string code = store::fresh_code();
  const auto digest = store::slow_digest(code, salt_);
  if (!digest) return fail(digest.error());
  const Instant until = now + code_life;
  if (const auto put = book_->put_pairing({*digest, person, named, now, until}); !put) return fail(put.error());
  return OpenCode{code, known(**stored), named, until};
}

Result<Paired> Access::pair(const std::string& typed_code, const std::string& device, Instant now) {
  const auto named = good_name(device, "access.bad_device", "device");
  if (!named) return fail(named.error());
  const std::string code = store::plain_code(typed_code);
  if (code.empty()) return fail("access.code_not_good", {"", 0, "code"}, {}, ErrorKind::forbidden);
  const auto digest = store::slow_digest(code, salt_);
  if (!digest) return fail(digest.error());
  const std::string secret = store::fresh_secret();
  const store::Session fresh{fresh_id(now), sha256(secret), {}, *named, now, now, now + session_life, {}};
  const auto begun = book_->redeem(*digest, fresh, now);
  if (!begun) return fail(begun.error());
  if (!*begun) return fail("access.code_not_good", {"", 0, "code"}, {}, ErrorKind::forbidden);
  return Paired{secret, who_of(**begun, now)};
}

Result<std::optional<Who>> Access::who(std::string_view secret, Instant now) {
  const auto found = book_->session_by(sha256(secret));
  if (!found) return fail(found.error());
  if (!*found) return std::nullopt;
  Who who = who_of(**found, now);
  if (!who.session->live) return std::nullopt;
  // A disk that can't be written to must not keep anybody from reading.
  if (now - who.session->seen >= seen_step) (void)book_->touch(who.session->id, now);
  return who;
}

Result<bool> Access::live(const Id& session, Instant now) {
  const auto all = sessions(now);
  if (!all) return fail(all.error());
  return std::any_of(all->begin(), all->end(), [&](const auto& one) { return one.id == session && one.live; });
}

Result<std::vector<SessionView>> Access::sessions(Instant now) {
  const auto stored = book_->sessions();
  if (!stored) return fail(stored.error());
  std::vector<SessionView> found;
  // Erasing a person has revoked their sessions already.
  for (const auto& session : *stored) found.push_back(view_of(session, {}, now));
  return found;
}

Status Access::revoke(const Id& session, Instant now) { return book_->revoke(session, now); }

Result<int> Access::sign_out(const Id& person, const std::string& device, Instant now) {
  const auto all = sessions(now);
  if (!all) return fail(all.error());
  int ended = 0;
  for (const auto& session : *all) {
    if (session.person != person || !session.live || (!device.empty() && session.device != device)) continue;
    if (const auto revoked = revoke(session.id, now); !revoked) return fail(revoked.error());
    ++ended;
  }
  return ended;
}

std::string token_of(std::string_view secret) { return sha256("leafturn page token " + std::string(secret)).hex(); }

bool token_fits(std::string_view secret, std::string_view given) { return store::same_secret(token_of(secret), given); }

}  // namespace leafturn::app
