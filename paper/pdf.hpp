#pragma once
/// A document on paper: PDF 1.5, letters embedded. Lines are broken by Pango, pages are drawn by Cairo, letters come from this computer's
/// fonts (DejaVu where it is there). With the same fonts the same document gives the same bytes.

#include <string>

#include "core/base/result.hpp"
#include "paper/document.hpp"

namespace leafturn::paper {

/// Safe to call from several threads. Errors: `paper.no_font` (this computer has no fonts at all), `paper.cannot_draw`.
Result<std::string> pdf(const Document& document, Format format);

}  // namespace leafturn::paper
