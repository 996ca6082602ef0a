#pragma once
/// What is printed, as documents for paper/: the same on the command line, from the server, in both languages and on both papers. A
/// document can be read without paper too: `document_text`.

#include <string>

#include "app/brief.hpp"
#include "app/crew.hpp"
#include "app/garden_log.hpp"
#include "app/records.hpp"
#include "app/signs.hpp"
#include "app/worksheet.hpp"
#include "paper/document.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// A sheet with the garden, its day, what it must not be taken for and the head of its chain already on it.
paper::Document sheet(const std::string& title, const app::Stamp& stamp, const words::Style& style);
/// For a terminal.
std::string document_text(const paper::Document& document);

/// `2026-06-10 19:00`: with the year, the same in every language, because a record is read years later.
std::string when(const Zone& zone, Instant at);
/// `24 mL (0.81 fl oz)`, `9.6 m² (103 ft²)`: both systems, the reader's first.
std::string amount_text(const garden::Amount& amount, const words::Style& style);
std::string area_text(Area area, const words::Style& style);
std::string volume_text(Volume volume, const words::Style& style);

/// `7.81 mL/L`, `2.34 L/ha`.
std::string rate_text(const label::ProductRate& rate);

/// A field's value as people read it; `records.not_recorded` when it isn't known.
std::string record_value(const records::SprayRecord& record, records::Field field, const Zone& zone, const words::Style& style);
paper::Document records_document(const app::RecordsAnswer& answer, const words::Style& style);
std::string records_json(const app::RecordsAnswer& answer, const words::Style& style);
/// One line a spray, RFC 4180: keys of docs/records.md as headings, amounts in litres and grams, areas in square metres.
std::string records_csv(const app::RecordsAnswer& answer, const words::Style& style);

/// One page a sign, English and Spanish together whatever the reader's language: the crew reads one of them.
paper::Document signs_document(const app::SignsAnswer& answer, const words::Style& style);
std::string signs_json(const app::SignsAnswer& answer);
paper::Document worksheet_document(const app::WorksheetAnswer& answer, const words::Style& style);
std::string worksheet_json(const app::WorksheetAnswer& answer, const words::Style& style);
/// The shed board on one sheet.
paper::Document board_document(const app::BriefAnswer& answer, const app::Stamp& stamp, const words::Style& style);
/// From when each bed may be entered and picked, and the next seven days as a row of marks.
paper::Document calendar_document(const app::BriefAnswer& answer, const app::Stamp& stamp, const words::Style& style);
std::string calendar_json(const app::BriefAnswer& answer, const app::Stamp& stamp);
/// A card for each person whose minutes are known, and what nobody was given.
paper::Document crew_document(const app::CrewAnswer& answer, const words::Style& style);
std::string crew_json(const app::CrewAnswer& answer, const words::Style& style);
paper::Document log_document(const app::LogAnswer& answer, const words::Style& style);
std::string log_json(const app::LogAnswer& answer, const words::Style& style);
std::string log_csv(const app::LogAnswer& answer, const words::Style& style);

}  // namespace leafturn::render
