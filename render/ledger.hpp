#pragma once
/// Receipts and the state of a ledger.

#include <string>
#include <vector>

#include "app/import_garden.hpp"
#include "app/ledger_tools.hpp"
#include "app/phone_file.hpp"
#include "app/record.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string verification_json(const store::Verification& verification, const words::Style& style);
std::string verification_text(const store::Verification& verification, const words::Style& style);

/// The verification's keys with the lines, each a JSON object of its own.
std::string export_json(const store::Verification& verification, const std::vector<std::string>& lines, const words::Style& style);
/// The verification's keys and the file written.
std::string copy_json(const store::Verification& verification, const std::string& path, const words::Style& style);
std::string copy_text(const store::Verification& verification, const std::string& path, const words::Style& style);

std::string imported_events_json(const app::ImportedEvents& imported, const store::Verification& verification, const words::Style& style);
std::string imported_events_text(const app::ImportedEvents& imported, const words::Style& style);

std::string garden_import_json(const app::ImportReport& report, const std::string& folder, const words::Style& style);
std::string garden_import_text(const app::ImportReport& report, const std::string& folder, const words::Style& style);

/// {"appended", "had", "quarantined", "refused", "entries": [{"told", "receipt", "judged", "error"}]}
std::string phone_file_json(const app::PhoneFileTaken& taken, const words::Style& style);
std::string phone_file_text(const app::PhoneFileTaken& taken, const words::Style& style);

std::string receipt_json(const app::RecordOutcome& outcome);
std::string receipt_text(const app::RecordOutcome& outcome, const words::Style& style);

}  // namespace leafturn::render
