#include "render/ledger.hpp"
#include "render/table.hpp"

namespace leafturn::render {
namespace {

constexpr std::size_t page_width = 100;

std::string sentence(const char* code, std::vector<Fact> facts, const words::Style& style) {
  return wrapped(words::say({code, std::move(facts)}, style), page_width, 0) + "\n";
}

Fact count(const char* name, std::size_t value) { return {name, static_cast<std::int64_t>(value)}; }

}  // namespace

std::string verification_text(const store::Verification& verification, const words::Style& style) {
  std::string out = sentence(verification.intact ? "ledger.text.intact" : "ledger.text.broken",
                             {{"n", static_cast<std::int64_t>(verification.events)}}, style);
  if (verification.damage) out += sentence(verification.damage->code.c_str(), verification.damage->facts, style);
  for (const auto& note : verification.notes) out += sentence(note.code.c_str(), note.facts, style);
  return out + sentence("ledger.text.head", {{"head", verification.head.hex()}}, style);
}

std::string copy_text(const store::Verification& verification, const std::string& path, const words::Style& style) {
  return sentence("ledger.text.copied", {{"n", static_cast<std::int64_t>(verification.events)}, {"file", path}}, style) +
         sentence("ledger.text.head", {{"head", verification.head.hex()}}, style);
}

std::string imported_events_text(const app::ImportedEvents& imported, const words::Style& style) {
  std::string out = sentence("ledger.text.imported", {count("n", imported.appended), count("had", imported.had)}, style);
  if (imported.changed > 0) out += sentence("ledger.text.file_changed", {count("n", imported.changed)}, style);
  if (imported.same_chain) out += sentence("ledger.text.same_chain", {}, style);
  if (imported.quarantined > 0) out += sentence("ledger.text.quarantined", {count("n", imported.quarantined)}, style);
  return out;
}

std::string garden_import_text(const app::ImportReport& report, const std::string& folder, const words::Style& style) {
  return sentence("ledger.text.garden_imported", {count("n", report.events), count("had", report.had), {"folder", folder}}, style) +
         (report.outside_label > 0 ? sentence("ledger.text.outside_label", {count("n", report.outside_label)}, style) : "") +
         sentence("ledger.text.head", {{"head", report.head.hex()}}, style);
}

std::string phone_file_text(const app::PhoneFileTaken& taken, const words::Style& style) {
  std::string out = sentence("ledger.text.imported", {count("n", taken.fresh), count("had", taken.had)}, style);
  if (taken.quarantined > 0) out += sentence("ledger.text.quarantined", {count("n", taken.quarantined)}, style);
  for (const auto& entry : taken.entries) {
    if (entry.refused) {
      out += sentence("ledger.text.phone_refused", {{"told", entry.told}, {"why", words::say_error(*entry.refused, style)}}, style);
    } else if (entry.outcome->judged && entry.outcome->judged->verdict == garden::ApplicationJudged::Verdict::outside_label) {
      out += sentence("ledger.text.phone_outside", {{"told", entry.told}}, style);
    }
  }
  return out;
}

std::string receipt_text(const app::RecordOutcome& outcome, const words::Style& style) {
  const auto& receipt = outcome.receipt;
  return sentence("ledger.text.written", {{"seq", static_cast<std::int64_t>(receipt.seq)}, {"id", receipt.id.text()}}, style) +
         sentence("ledger.text.head", {{"head", receipt.link.hex()}}, style);
}

}  // namespace leafturn::render
