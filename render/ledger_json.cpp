#include <nlohmann/json.hpp>

#include "render/ledger.hpp"
#include "render/ledger_parts_json.hpp"
#include "render/parts_json.hpp"

namespace leafturn::render {

using nlohmann::ordered_json;

ordered_json verification_value(const store::Verification& verification, const words::Style& style) {
  const auto said = [&](const Reason& reason) { return ordered_json{{"code", reason.code}, {"text", words::say(reason, style)}}; };
  ordered_json notes = ordered_json::array();
  for (const auto& note : verification.notes) notes.push_back(said(note));
  return {{"events", verification.events},
          {"head", verification.head.hex()},
          {"ok", verification.intact},
          {"damage", verification.damage ? said(*verification.damage) : ordered_json(nullptr)},
          {"notes", std::move(notes)}};
}

std::string verification_json(const store::Verification& verification, const words::Style& style) {
  return json_text(verification_value(verification, style));
}

std::string export_json(const store::Verification& verification, const std::vector<std::string>& lines, const words::Style& style) {
  ordered_json out = verification_value(verification, style);
  ordered_json entries = ordered_json::array();
  for (const auto& line : lines) {
    auto entry = ordered_json::parse(line, nullptr, false);
    entries.push_back(entry.is_discarded() ? ordered_json(line) : std::move(entry));
  }
  out["lines"] = std::move(entries);
  return json_text(out);
}

std::string copy_json(const store::Verification& verification, const std::string& path, const words::Style& style) {
  ordered_json out = verification_value(verification, style);
  out["file"] = path;
  return json_text(out);
}

std::string imported_events_json(const app::ImportedEvents& imported, const store::Verification& verification, const words::Style& style) {
  ordered_json out = verification_value(verification, style);
  out["appended"] = imported.appended;
  out["had"] = imported.had;
  out["quarantined"] = imported.quarantined;
  out["changed"] = imported.changed;
  out["same_chain"] = imported.same_chain;
  return json_text(out);
}

std::string garden_import_json(const app::ImportReport& report, const std::string& folder, const words::Style& style) {
  return json_text(ordered_json{{"garden", folder},
                                {"appended", report.events},
                                {"had", report.had},
                                {"outside_label", report.outside_label},
                                {"head", report.head.hex()},
                                {"notes", reasons_json(report.notes, style)}});
}

std::string phone_file_json(const app::PhoneFileTaken& taken, const words::Style& style) {
  ordered_json entries = ordered_json::array();
  for (const auto& entry : taken.entries) {
    const auto* judged = entry.outcome && entry.outcome->judged ? &*entry.outcome->judged : nullptr;
    const auto* verdict = judged == nullptr                                                     ? nullptr
                          : judged->verdict == garden::ApplicationJudged::Verdict::within_label ? "within_label"
                                                                                                : "outside_label";
    entries.push_back(
        {{"told", entry.told},
         {"receipt", entry.outcome ? receipt_value(entry.outcome->receipt) : ordered_json(nullptr)},
         {"judged", verdict == nullptr ? ordered_json(nullptr) : ordered_json(verdict)},
         {"error", entry.refused ? ordered_json{{"code", entry.refused->code}, {"text", words::say_error(*entry.refused, style)}}
                                 : ordered_json(nullptr)}});
  }
  return json_text(ordered_json{
      {"appended", taken.fresh}, {"had", taken.had}, {"quarantined", taken.quarantined}, {"refused", taken.refused}, {"entries", entries}});
}

std::string receipt_json(const app::RecordOutcome& outcome) { return json_text(receipt_value(outcome.receipt)); }

}  // namespace leafturn::render
