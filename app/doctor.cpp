#include "app/doctor.hpp"

#include <sys/stat.h>
#include <sys/timex.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <utility>

#include "store/ledger.hpp"

namespace leafturn::app {
namespace {

namespace fs = std::filesystem;
using State = Finding::State;

constexpr double megabyte = 1e6;
constexpr double least_room = 50 * megabyte;         // below it the next days' writing may fail
constexpr double comfortable_room = 500 * megabyte;  // and beside it, room for two copies of the ledger
constexpr double late_days = 7.0, too_late_days = 30.0;

Finding good(const char* check, Reason text) { return {check, State::good, std::move(text), {}}; }
Finding found(const char* check, State state, Reason text, Reason advice) { return {check, state, std::move(text), std::move(advice)}; }
Number whole(double value) { return {value, value < 10 ? 1 : 0}; }

Finding room(const std::string& folder, const std::string& ledger) {
  std::error_code error;
  const auto space = fs::space(folder, error);
  if (error) return found("room", State::look, {"doctor.room.unknown", {}}, {"doctor.room.do", {}});
  const double free = static_cast<double>(space.available);
  const double size = static_cast<double>(fs::file_size(ledger, error));
  const std::vector<Fact> facts{{"free", whole(free / megabyte)}, {"size", whole((error ? 0.0 : size) / megabyte)}};
  if (free < least_room) return found("room", State::bad, {"doctor.room.none", facts}, {"doctor.room.do", {}});
  if (free < comfortable_room + 2 * size) return found("room", State::look, {"doctor.room.little", facts}, {"doctor.room.do", {}});
  return good("room", {"doctor.room.good", facts});
}

Finding writable(const std::string& folder, const std::string& ledger) {
  if (::access(folder.c_str(), W_OK) == 0 && ::access(ledger.c_str(), W_OK) == 0) return good("folder", {"doctor.folder.good", {}});
  return found("folder", State::bad, {"doctor.folder.read_only", {}}, {"doctor.folder.do", {}});
}

/// The last event was received by this machine's clock: before it, the clock is wrong now or was wrong then.
Finding clock(const std::optional<Instant>& last, Instant now) {
  constexpr Instant built_after = Instant::from_unix_microseconds(1'767'225'600'000'000);  // 2026-01-01: leafturn is younger
  if (now < built_after) return found("clock", State::bad, {"doctor.clock.old", {{"time", now.iso_utc()}}}, {"doctor.clock.do", {}});
  if (last && *last - now > Duration::minutes(1))
    return found("clock", State::bad, {"doctor.clock.behind", {{"hours", whole((*last - now).in_hours())}}}, {"doctor.clock.do", {}});
  timex asked{};
  if (::adjtimex(&asked) == TIME_ERROR) return found("clock", State::look, {"doctor.clock.alone", {}}, {"doctor.clock.do", {}});
  return good("clock", {"doctor.clock.good", {}});
}

Finding intact(store::Ledger& ledger, const std::string& marker) {
  const auto told = [](const Error& error) {
    return found("ledger", State::bad, {"error." + error.code + ".what", error.facts}, {"error." + error.code + ".do", error.facts});
  };
  std::error_code ignored;
  if (fs::exists(marker, ignored)) return told({"ledger.not_kept", {}, {}, ErrorKind::cannot});
  const auto verified = ledger.verify();
  if (!verified) return told(verified.error());
  if (!verified->intact) return found("ledger", State::bad, *verified->damage, {"doctor.ledger.do", {}});
  const Reason text{"doctor.ledger.good", {{"n", static_cast<std::int64_t>(verified->events)}, {"head", verified->head.hex()}}};
  for (const Reason& note : verified->notes)
    if (note.code == "ledger.clock_back") return found("ledger", State::look, note, {"doctor.clock.do", {}});
  return good("ledger", text);
}

Finding set_aside(store::Ledger& ledger) {
  const auto quarantined = ledger.quarantine();
  if (!quarantined || quarantined->empty()) return good("quarantine", {"doctor.quarantine.good", {}});
  return found("quarantine", State::look, {"ledger.quarantined", {{"n", static_cast<std::int64_t>(quarantined->size())}}},
               {"doctor.quarantine.do", {}});
}

/// A backup of this very ledger.
struct Backup {
  fs::path path;
  store::Tip tip;
  double age_days = 0.0;
  bool same_disk = false;
};

double age_days(const fs::path& path, Instant now) {
  struct stat status{};
  if (::stat(path.c_str(), &status) != 0) return 0.0;
  const std::int64_t us = std::int64_t{status.st_mtim.tv_sec} * 1'000'000 + status.st_mtim.tv_nsec / 1000;
  return std::max(0.0, (now - Instant::from_unix_microseconds(us)).in_days());
}

bool same_disk(const fs::path& a, const fs::path& b) {
  struct stat one{}, other{};
  return ::stat(a.c_str(), &one) == 0 && ::stat(b.c_str(), &other) == 0 && one.st_dev == other.st_dev;
}

/// The newest by what it holds.
std::optional<Backup> newest(store::Ledger& ledger, const fs::path& folder, const std::string& file, Instant now) {
  std::optional<Backup> best;
  std::error_code error;
  for (const auto& entry : fs::directory_iterator(folder, error)) {
    if (error || !entry.is_regular_file(error)) continue;
    const auto tip = store::tip_of(entry.path().string());
    if (!tip || tip->seq == 0 || (best && best->tip.seq >= tip->seq)) continue;
    const std::vector<std::uint64_t> place{tip->seq};
    const auto ours = ledger.read_at(place);
    if (!ours || ours->empty() || ours->front().link != tip->head) continue;  // of another garden, or of another life of this one
    best = Backup{entry.path(), *tip, age_days(entry.path(), now), same_disk(entry.path(), file)};
  }
  return best;
}

Finding backups(store::Ledger& ledger, const std::string& folder, const std::string& file, Instant now) {
  const auto last = ledger.last_seq();
  const auto backup = newest(ledger, folder, file, now);
  if (!backup) return found("backups", State::bad, {"doctor.backups.none", {{"folder", folder}}}, {"doctor.backups.do", {}});
  const std::int64_t missing = static_cast<std::int64_t>(last.value_or(backup->tip.seq) - backup->tip.seq);
  const std::vector<Fact> facts{{"file", backup->path.string()}, {"days", static_cast<std::int64_t>(backup->age_days)}, {"n", missing}};
  if (missing > 0 && backup->age_days > too_late_days)
    return found("backups", State::bad, {"doctor.backups.late", facts}, {"doctor.backups.do", {}});
  if (missing > 0 && backup->age_days > late_days)
    return found("backups", State::look, {"doctor.backups.late", facts}, {"doctor.backups.do", {}});
  if (backup->same_disk) return found("backups", State::look, {"doctor.backups.same_disk", facts}, {"doctor.backups.do_disk", {}});
  return good("backups", {"doctor.backups.good", facts});
}

}  // namespace

bool Checkup::bad() const {
  return std::any_of(findings.begin(), findings.end(), [](const Finding& f) { return f.state == State::bad; });
}

Result<Checkup> examine(const std::string& folder, const std::optional<std::string>& backup_folder, Instant now) {
  const std::string file = (fs::path(folder) / "ledger.db").string();
  std::error_code error;
  if (!fs::exists(file, error)) return fail("app.no_garden", {folder, 0, {}}, {}, ErrorKind::not_found);
  Checkup checkup;
  checkup.findings = {room(folder, file), writable(folder, file)};
  const std::string marker = file + ".not-kept";
  const bool doubtful = fs::exists(marker, error);
  const auto ledger = store::open_sqlite(file);
  if (!ledger) {
    const Error& e = ledger.error();
    checkup.findings.push_back(clock({}, now));
    checkup.findings.push_back(found("ledger", State::bad, {"error." + e.code + ".what", e.facts}, {"error." + e.code + ".do", e.facts}));
    return checkup;
  }
  std::optional<Instant> last;
  const std::vector<std::uint64_t> end{(*ledger)->last_seq().value_or(0)};
  if (const auto entries = (*ledger)->read_at(end); entries && !entries->empty()) last = entries->front().received;
  checkup.findings.push_back(clock(last, now));
  checkup.findings.push_back(intact(**ledger, marker));
  if (doubtful && checkup.findings.back().state == State::good)
    checkup.findings.back() = found("ledger", State::look, {"doctor.ledger.recovered", {}}, {"doctor.ledger.do_disk", {}});
  checkup.findings.push_back(set_aside(**ledger));
  checkup.findings.push_back(backups(**ledger, backup_folder.value_or((fs::path(folder) / "backups").string()), file, now));
  return checkup;
}

Result<std::string> backup_name(const std::string& folder, Instant now) {
  const fs::path backups = fs::path(folder) / "backups";
  std::error_code error;
  fs::create_directories(backups, error);
  if (error) return fail("app.folder_not_made", {backups.string(), 0, {}}, {{"reason", error.message()}}, ErrorKind::cannot);
  std::string stamp = now.iso_utc().substr(0, std::string_view("2026-05-31T11:30:00").size()) + "Z";
  std::erase_if(stamp, [](char c) { return c == '-' || c == ':'; });
  return (backups / ("ledger-" + stamp + ".db")).string();
}

}  // namespace leafturn::app
