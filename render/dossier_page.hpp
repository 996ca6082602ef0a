#pragma once
/// A page about one pest for people who read: Markdown, with a drawing of its rate curves beside it.

#include <string>
#include <vector>

#include "core/pest/dossier.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// Everything the dossier says, each figure with its source and how it is known; refers to the drawing as `NAME.svg`.
std::string pest_page_markdown(const pest::Dossier& pest, const words::Style& style);

/// The list of all pages.
std::string pest_index_markdown(const pest::Library& library, const words::Style& style);

/// All active ingredients on one page.
std::string actives_page_markdown(const pest::Library& library, const words::Style& style);

/// Development per day of each stage and days of the whole (with every other published set beside it) at constant temperatures from 0 to
/// 40 °C, as SVG. The same bytes on every machine.
std::string rate_curves_svg(const pest::Dossier& pest, const words::Style& style);

/// The page and the drawing in one JSON value.
std::string page_json(const pest::Dossier& pest, const std::string& page, const words::Style& style);
/// Which files were made.
std::string files_written(const std::vector<std::string>& paths, bool json, const words::Style& style);

}  // namespace leafturn::render
