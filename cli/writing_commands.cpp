#include "app/write_down.hpp"
#include "cli/groups.hpp"
#include "render/ledger.hpp"

namespace leafturn::cli {
namespace {

app::WhenAndWho when(const Arguments& given) { return {given.maybe("at"), given.text("by")}; }

/// Opens the garden, writes one thing down, shows the receipt.
template <class Write>
Result<Answer> written(const Arguments& given, const Context& context, Write write) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto outcome = write(**garden);
  if (!outcome) return fail(outcome.error());
  return Answer{context.json ? render::receipt_json(*outcome) : render::receipt_text(*outcome, context.style)};
}

Result<Answer> count(const Arguments& given, const Context& context) {
  return written(given, context, [&](app::OpenGarden& garden) {
    return app::write_count(garden, {given.text("bed"), given.text("pest"), given.text("stage"), given.text("plants"), given.text("count")},
                            when(given), context.now);
  });
}

Result<Answer> sow(const Arguments& given, const Context& context) {
  return written(given, context, [&](app::OpenGarden& garden) {
    return app::write_planting(garden,
                               {.planting = given.text("planting"),
                                .bed = given.text("bed"),
                                .crop = given.text("crop"),
                                .plants = given.maybe("plants"),
                                .set_out = given.maybe("set-out"),
                                .first_harvest = given.maybe("first-harvest"),
                                .last_harvest = given.maybe("last-harvest")},
                               when(given), context.now);
  });
}

Result<Answer> remove(const Arguments& given, const Context& context) {
  return written(given, context,
                 [&](app::OpenGarden& garden) { return app::write_removal(garden, given.text("planting"), when(given), context.now); });
}

Result<Answer> harvest(const Arguments& given, const Context& context) {
  return written(given, context, [&](app::OpenGarden& garden) {
    return app::write_harvest(
        garden, {given.text("bed"), given.text("planting"), given.maybe("amount"), given.text("detail"), given.maybe("early")}, when(given),
        context.now);
  });
}

Result<Answer> harvest_plan(const Arguments& given, const Context& context) {
  return written(given, context, [&](app::OpenGarden& garden) {
    return app::write_harvest_plan(garden, given.text("planting"), given.text("day"), when(given), context.now);
  });
}

Result<Answer> work(const Arguments& given, const Context& context) {
  return written(given, context, [&](app::OpenGarden& garden) {
    return app::write_work(garden, given.text("work"), given.text("bed"), given.text("detail"), when(given), context.now);
  });
}

Result<Answer> withdraw(const Arguments& given, const Context& context) {
  return written(given, context, [&](app::OpenGarden& garden) {
    return app::write_withdrawal(garden, given.text("id"), given.text("reason"), when(given), context.now);
  });
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};
constexpr Option bed{.name = "bed", .placeholder = "BED", .required = true};
constexpr Option planting{.name = "planting", .placeholder = "PLANTING", .required = true};
constexpr Option at{.name = "at", .placeholder = "TIME"};
constexpr Option by{.name = "by", .placeholder = "WHO"};
constexpr Option detail{.name = "detail", .placeholder = "TEXT"};

}  // namespace

std::vector<Command> writing_commands() {
  return {
      {"count",
       {garden,
        bed,
        {.name = "pest", .placeholder = "PEST", .required = true},
        {.name = "stage", .placeholder = "STAGE", .required = true},
        {.name = "plants", .placeholder = "N", .required = true},
        {.name = "count", .placeholder = "N", .required = true},
        at,
        by},
       {"leafturn count --garden my-garden --bed 1 --pest imported-cabbageworm --stage larva --plants 10 --count 4",
        "leafturn count --garden my-garden --bed 1 --pest imported-cabbageworm --stage egg --plants 10 --count 40 --json | tee count.json"},
       count},
      {"planting sow",
       {garden,
        planting,
        bed,
        {.name = "crop", .placeholder = "EPPO", .required = true},
        {.name = "plants", .placeholder = "N"},
        {.name = "set-out", .placeholder = "DAY"},
        {.name = "first-harvest", .placeholder = "DAY"},
        {.name = "last-harvest", .placeholder = "DAY"},
        at,
        by},
       {"leafturn planting sow --garden my-garden --planting fall-kale --bed 1 --crop BRSOA --plants 24"},
       sow},
      {"planting remove", {garden, planting, at, by}, {"leafturn planting remove --garden my-garden --planting fall-kale"}, remove},
      {"harvest taken",
       {garden,
        bed,
        {.name = "planting", .placeholder = "PLANTING"},
        {.name = "amount", .placeholder = "MASS"},
        {.name = "early", .placeholder = "FATE"},
        detail,
        at,
        by},
       {"leafturn harvest taken --garden my-garden --bed 1 --amount 2.5kg"},
       harvest},
      {"harvest plan",
       {garden, planting, {.name = "day", .placeholder = "DAY", .required = true}, at, by},
       {"leafturn harvest plan --garden my-garden --planting kale-spring --day 2026-06-20"},
       harvest_plan},
      {"work",
       {{.name = "work", .placeholder = "WORK", .required = true, .positional = true}, garden, bed, detail, at, by},
       {"leafturn work hand-pick --garden my-garden --bed 1"},
       work},
      {"withdraw",
       {{.name = "id", .placeholder = "ID", .required = true, .positional = true},
        garden,
        {.name = "reason", .placeholder = "TEXT", .required = true},
        at,
        by},
       {"leafturn withdraw \"$(cut -d'\"' -f4 count.json)\" --garden my-garden --reason \"Wrong bed\""},
       withdraw},
  };
}

}  // namespace leafturn::cli
