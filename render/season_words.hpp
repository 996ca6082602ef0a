#pragma once
/// Sentences about seasons that text and JSON share.

#include <string>

#include "app/season.hpp"
#include "core/phenology/calendar.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// 'generation 2: the first eggs around 12 June (8 June to 17 June)'.
std::string event_text(const pest::Dossier& pest, const phenology::NextEvent& event, const words::Style& style);
/// 'By heat this year is 6 days ahead of the usual, and 2 behind last year.' Empty where nothing can be said.
std::string ahead_text(const app::SeasonComparison& comparison, const words::Style& style);

}  // namespace leafturn::render
