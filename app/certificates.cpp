#include "app/certificates.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>

#include "app/file_text.hpp"
#include "app/x509.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
constexpr std::int64_t authority_days = 3650, server_days = 90, renew_days = 30;

Duration days(std::int64_t n) { return Duration::hours(24 * n); }

struct Files {
  explicit Files(const std::string& garden) : folder{fs::path(garden) / "authority"} {}
  std::string named(const char* whose, const char* ending) const { return (folder / whose).string() + ending; }
  fs::path folder;
  std::string authority = named("authority", ".crt"), authority_key = named("authority", ".key");
  std::string server = named("server", ".crt"), server_key = named("server", ".key");
};

bool is_there(const std::string& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
}

tl::unexpected<Error> not_written(const std::string& path, int number) {
  return fail("app.authority_not_written", {path, 0, {}}, {{"reason", std::error_code(number, std::generic_category()).message()}},
              ErrorKind::cannot);
}

/// On the disk under its name or not there; `mode` from the first byte on.
Status write_whole(const std::string& path, const std::string& bytes, unsigned mode) {
  const std::string half = path + ".new";
  ::unlink(half.c_str());
  const int file = ::open(half.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, mode);
  if (file < 0) return not_written(path, errno);
  const bool good = ::write(file, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()) && ::fsync(file) == 0;
  const int why = errno;
  ::close(file);
  if (good && ::rename(half.c_str(), path.c_str()) == 0) return {};
  const int last = good ? errno : why;
  ::unlink(half.c_str());
  return not_written(path, last);
}

std::string constraints_for(const NetworkNames& names) {
  std::string out = "critical,permitted;DNS:" + names.name;
  std::vector<std::string> networks;
  for (const auto& one : names.addresses) networks.push_back(",permitted;IP:" + one.network + "/" + one.mask);
  std::sort(networks.begin(), networks.end());
  networks.erase(std::unique(networks.begin(), networks.end()), networks.end());
  for (const auto& network : networks) out += network;
  // A kind of name that isn't named at all would be free: where there is no network, no address may be signed for either.
  if (networks.empty()) out += ",excluded;IP:0.0.0.0/0.0.0.0,excluded;IP:0:0:0:0:0:0:0:0/0:0:0:0:0:0:0:0";
  return out;
}

Status make_authority(const Files& files, const NetworkNames& names, Instant now) {
  std::error_code wrong;
  fs::create_directories(files.folder, wrong);
  if (wrong) return not_written(files.folder.string(), wrong.value());
  fs::permissions(files.folder, fs::perms::owner_all, wrong);
  const auto key = make_key_pem();
  if (!key) return fail(key.error());
  // A phone's clock may be a little behind.
  const auto made =
      make_authority_pem(*key, {"leafturn " + names.name, {}, constraints_for(names), now - days(1), now + days(authority_days)});
  if (!made) return fail(made.error());
  if (auto done = write_whole(files.authority_key, *key, 0600); !done) return done;
  return write_whole(files.authority, *made, 0644);
}

struct Authority {
  std::string pem, key;
  CertificateFacts facts;
};

tl::unexpected<Error> incomplete(const Files& files) {
  return fail("app.authority_incomplete", {files.folder.string(), 0, {}}, {}, ErrorKind::cannot);
}

Result<Authority> read_authority(const Files& files) {
  const auto pem = read_text(files.authority), key = read_text(files.authority_key);
  if (!pem || !key) return incomplete(files);
  const auto facts = read_certificate(*pem);
  if (!facts) return fail(facts.error());
  return Authority{*pem, *key, *facts};
}

/// Certificates signed for a time, with the server's key or a passing one.
struct Signing {
  const Authority& authority;
  const NetworkNames& names;
  Instant now;

  Result<std::string> sign(const std::string& key, const std::string& list) const {
    const Instant begins = std::max(now - days(1), authority.facts.begins), ends = std::min(now + days(server_days), authority.facts.ends);
    return make_certificate_pem(key, authority.pem, authority.key, {names.name, list, {}, begins, ends});
  }
};

/// What the authority can sign for: asked by signing and checking, so that there is one reader of constraints, the library's.
struct Signable {
  std::vector<std::string> names, outside;
};
Result<Signable> signable(const Files& files, const Signing& signing) {
  const auto key = make_key_pem();
  if (!key) return fail(key.error());
  const std::string name = "DNS:" + signing.names.name;
  const auto may = [&](const std::string& list) -> Result<bool> {
    const auto tried = signing.sign(*key, list);
    if (!tried) return fail(tried.error());
    return belongs_together(*tried, *key, signing.authority.pem, signing.now);
  };
  const auto own = may(name);
  if (!own) return fail(own.error());
  if (!*own) return fail("app.authority_for_another", {files.authority, 0, {}}, {{"name", signing.names.name}}, ErrorKind::cannot);
  Signable out{{name}, {}};
  for (const auto& one : signing.names.addresses) {
    const auto good = may(name + ",IP:" + one.address);
    if (!good) return fail(good.error());
    (*good ? out.names : out.outside).push_back(*good ? "IP:" + one.address : one.address);
  }
  return out;
}

bool still_good(const Certificates& has, const Authority& authority, const Signable& wanted, Instant now) {
  const auto facts = read_certificate(has.chain_pem);
  return facts && facts->ends - now >= days(renew_days) &&
         std::is_permutation(facts->names.begin(), facts->names.end(), wanted.names.begin(), wanted.names.end()) &&
         belongs_together(has.chain_pem, has.key_pem, authority.pem, now);
}

Status make_server(const Files& files, const Signing& signing, const Signable& wanted, Certificates& out) {
  const auto key = make_key_pem();
  if (!key) return fail(key.error());
  std::string list;
  for (const auto& name : wanted.names) list += (list.empty() ? "" : ",") + name;
  const auto made = signing.sign(*key, list);
  if (!made) return fail(made.error());
  // The key first: a certificate without its key is seen at the next start, and both are made again.
  if (auto done = write_whole(files.server_key, *key, 0600); !done) return done;
  if (auto done = write_whole(files.server, *made, 0644); !done) return done;
  out.chain_pem = *made;
  out.key_pem = *key;
  out.renewed = true;
  return {};
}

bool is_private(const std::string& path) {
  struct stat facts{};
  return ::stat(path.c_str(), &facts) == 0 && (facts.st_mode & 077U) == 0;
}

}  // namespace

Result<Certificates> certificates_for(const std::string& folder, const NetworkNames& names, Instant now) {
  const Files files(folder);
  if (!is_there(files.authority) && !is_there(files.authority_key))
    if (auto made = make_authority(files, names, now); !made) return fail(made.error());
  const auto authority = read_authority(files);
  if (!authority) return fail(authority.error());
  // Nothing overwrites an authority: phones trust it.
  if (authority->facts.ends <= now) return fail("app.authority_ended", {files.authority, 0, {}}, {}, ErrorKind::cannot);
  const Signing signing{*authority, names, now};
  auto wanted = signable(files, signing);
  if (!wanted) return fail(wanted.error());
  Certificates out;
  out.authority_pem = authority->pem;
  out.authority_fingerprint = authority->facts.fingerprint;
  out.outside = wanted->outside;
  out.chain_pem = read_text(files.server).value_or(std::string{});
  out.key_pem = read_text(files.server_key).value_or(std::string{});
  if (!still_good(out, *authority, *wanted, now))
    if (auto made = make_server(files, signing, *wanted, out); !made) return fail(made.error());
  const auto facts = read_certificate(out.chain_pem);
  if (!facts) return fail(facts.error());
  out.ends = facts->ends;
  out.names = facts->names;
  return out;
}

Result<std::optional<CertificateState>> certificate_state(const std::string& folder, Instant now) {
  const Files files(folder);
  if (!is_there(files.authority) && !is_there(files.authority_key)) return std::optional<CertificateState>{};
  const auto authority = read_authority(files);
  if (!authority) return fail(authority.error());
  CertificateState out;
  out.authority_ends = authority->facts.ends;
  out.authority_fingerprint = authority->facts.fingerprint;
  out.keys_private = is_private(files.authority_key) && (!is_there(files.server_key) || is_private(files.server_key));
  const auto pem = read_text(files.server), key = read_text(files.server_key);
  if (pem && key) {
    if (const auto facts = read_certificate(*pem)) out.server_ends = facts->ends;
    out.fits = belongs_together(*pem, *key, authority->pem, now);
  }
  return std::optional{std::move(out)};
}

}  // namespace leafturn::app
