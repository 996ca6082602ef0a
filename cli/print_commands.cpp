#include "app/access.hpp"
#include "app/ask_time.hpp"
#include "app/brief.hpp"
#include "cli/groups.hpp"
#include "cli/printing.hpp"
#include "render/print.hpp"

namespace leafturn::cli {
namespace {

/// A garden with its people, the time asked about, and a style in the garden's own units.
struct Opened {
  std::unique_ptr<app::OpenGarden> garden;
  std::unique_ptr<app::Access> access;
  std::optional<Instant> at;
  Context context;
};

Result<Opened> open(const Arguments& given, const Context& context) {
  auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  auto access = app::Access::open(given.text("garden"));
  if (!access) return fail(access.error());
  Opened opened{std::move(*garden), std::move(*access), {}, context};
  const auto at = app::asked_time(*opened.garden, given.maybe("at"), {});
  if (!at) return fail(at.error());
  opened.at = *at;
  const auto state = opened.garden->garden_at(context.now);
  if (!state) return fail(state.error());
  if (state->described) opened.context.style.units = state->described->units;
  return opened;
}

Result<Answer> records(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  const auto answer =
      app::records(*opened->garden, *opened->access,
                   {given.maybe("for").value_or("all"), given.maybe("from"), given.maybe("until"), opened->at}, context.now);
  if (!answer) return fail(answer.error());
  const auto& style = opened->context.style;
  return printed({render::records_document(*answer, style), render::records_json(*answer, style), render::records_csv(*answer, style)},
                 given, opened->context);
}

Result<Answer> log(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  const auto answer = app::garden_log(*opened->garden, *opened->access,
                                      {given.text("of"), given.maybe("from"), given.maybe("until"), opened->at}, context.now);
  if (!answer) return fail(answer.error());
  const auto& style = opened->context.style;
  return printed({render::log_document(*answer, style), render::log_json(*answer, style), render::log_csv(*answer, style)}, given,
                 opened->context);
}

Result<Answer> sign(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  const auto answer = app::signs(*opened->garden, {given.text("bed"), opened->at}, context.now);
  if (!answer) return fail(answer.error());
  return printed({render::signs_document(*answer, opened->context.style), render::signs_json(*answer)}, given, opened->context);
}

Result<Answer> worksheet(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  app::WorksheetQuestion question;
  question.beds = given.all("bed");
  question.product = given.text("product");
  question.rate = given.text("rate");
  question.equipment = given.text("equipment");
  question.nozzle = given.text("nozzle");
  question.by = given.text("by");
  question.water_ph = given.maybe("water-ph");
  question.hours = given.maybe("hours");
  question.at = opened->at;
  const auto answer = app::worksheet(*opened->garden, *opened->access, question, context.now);
  if (!answer) return fail(answer.error());
  const auto& style = opened->context.style;
  auto out = printed({render::worksheet_document(*answer, style), render::worksheet_json(*answer, style)}, given, opened->context);
  if (out) out->no = !answer->mixed;  // calibrate first
  return out;
}

/// The board and the calendar are two looks at one brief.
struct Looked {
  app::BriefAnswer brief;
  app::Stamp stamp;
};
Result<Looked> look(const Opened& opened, const Context& context) {
  auto brief = app::brief(*opened.garden, opened.at, context.now);
  if (!brief) return fail(brief.error());
  auto stamp = app::stamp_of(*opened.garden, brief->garden, brief->brief.at);
  if (!stamp) return fail(stamp.error());
  return Looked{std::move(*brief), std::move(*stamp)};
}

Result<Answer> board(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  const auto seen = look(*opened, context);
  if (!seen) return fail(seen.error());
  return printed({render::board_document(seen->brief, seen->stamp, opened->context.style), render::calendar_json(seen->brief, seen->stamp)},
                 given, opened->context);
}

Result<Answer> crew(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  const auto seen = look(*opened, context);
  if (!seen) return fail(seen.error());
  const auto answer = app::crew(*opened->garden, *opened->access, seen->brief);
  if (!answer) return fail(answer.error());
  return printed({render::crew_document(*answer, opened->context.style), render::crew_json(*answer, opened->context.style)}, given,
                 opened->context);
}

Result<Answer> calendar(const Arguments& given, const Context& context) {
  const auto opened = open(given, context);
  if (!opened) return fail(opened.error());
  const auto seen = look(*opened, context);
  if (!seen) return fail(seen.error());
  return printed(
      {render::calendar_document(seen->brief, seen->stamp, opened->context.style), render::calendar_json(seen->brief, seen->stamp)}, given,
      opened->context);
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};
constexpr Option at{.name = "at", .placeholder = "TIME"};
constexpr Option from{.name = "from", .placeholder = "DAY"};
constexpr Option until{.name = "until", .placeholder = "DAY"};

}  // namespace

std::vector<Command> print_commands() {
  return {
      {"records",
       {garden, {.name = "for", .placeholder = "RULE"}, from, until, at, pdf_option, csv_option, paper_option},
       {"leafturn records --garden my-garden --for us-worker",
        "leafturn records --garden my-garden --for all --pdf records.pdf --csv records.csv --paper letter"},
       records},
      {"print log",
       {garden, {.name = "of", .placeholder = "WHAT", .required = true}, from, until, at, pdf_option, csv_option, paper_option},
       {"leafturn print log --garden my-garden --of harvests --from 2026-05-01"},
       log},
      {"print sign",
       {garden, {.name = "bed", .placeholder = "BED"}, at, pdf_option, paper_option},
       {"leafturn print sign --garden my-garden --bed 11 --pdf sign.pdf"},
       sign},
      {"print worksheet",
       {garden,
        {.name = "bed", .placeholder = "BED", .required = true, .many = true},
        {.name = "product", .placeholder = "PRODUCT", .required = true},
        {.name = "rate", .placeholder = "RATE", .required = true},
        {.name = "equipment", .placeholder = "NAME"},
        {.name = "nozzle", .placeholder = "NOZZLE"},
        {.name = "by", .placeholder = "WHO"},
        {.name = "water-ph", .placeholder = "PH"},
        {.name = "hours", .placeholder = "H"},
        at,
        pdf_option,
        paper_option},
       {"leafturn print worksheet --garden my-garden --bed 2 --product \"Demo Oil One\" --rate \"1 floz/gal\" --equipment knapsack --by "
        "lead --water-ph 7.8"},
       worksheet},
      {"print board",
       {garden, at, pdf_option, paper_option},
       {"leafturn print board --garden my-garden --pdf board.pdf --paper a4"},
       board},
      {"print calendar", {garden, at, pdf_option, paper_option}, {"leafturn print calendar --garden my-garden"}, calendar},
      {"print crew", {garden, at, pdf_option, paper_option}, {"leafturn print crew --garden my-garden"}, crew},
  };
}

}  // namespace leafturn::cli
