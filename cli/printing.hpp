#pragma once
/// What every command that prints has in common: where its files go and on which paper.

#include <string>
#include <vector>

#include "cli/command.hpp"
#include "paper/document.hpp"

namespace leafturn::cli {

inline constexpr Option pdf_option{.name = "pdf", .placeholder = "FILE"};
inline constexpr Option csv_option{.name = "csv", .placeholder = "FILE"};
inline constexpr Option paper_option{.name = "paper", .placeholder = "PAPER"};

/// The same answer in each form somebody may want.
struct Printable {
  paper::Document document;
  std::string json;
  std::string csv = {};  ///< empty: there is none
};
/// Writes the files asked for, whole or not at all and never over one that is there; on standard output JSON, or the document as text.
/// Errors: `print.paper`, `file.exists`, `file.cannot_write`, paper::pdf's.
Result<Answer> printed(const Printable& printable, const Arguments& given, const Context& context);

}  // namespace leafturn::cli
