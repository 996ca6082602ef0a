#include "app/keep.hpp"
#include "cli/groups.hpp"
#include "render/ledger.hpp"
#include "render/shelf.hpp"

namespace leafturn::cli {
namespace {

app::WhenAndWho when(const Arguments& given) { return {given.maybe("at"), given.text("by")}; }

Result<Answer> shown(const Result<app::RecordOutcome>& outcome, const Context& context) {
  if (!outcome) return fail(outcome.error());
  return Answer{context.json ? render::receipt_json(*outcome) : render::receipt_text(*outcome, context.style)};
}

Result<Answer> equipment(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  return shown(app::write_equipment(**garden, {given.text("equipment"), given.text("nozzle"), given.maybe("tank"), given.text("detail")},
                                    when(given), context.now),
               context);
}

Result<Answer> catch_test(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  return shown(app::write_catch_test(**garden,
                                     {.equipment = given.text("equipment"),
                                      .nozzle = given.text("nozzle"),
                                      .volume = given.maybe("volume"),
                                      .area = given.maybe("area"),
                                      .flow = given.maybe("flow"),
                                      .speed = given.maybe("speed"),
                                      .width = given.maybe("width"),
                                      .detail = given.text("detail")},
                                     when(given), context.now),
               context);
}

Result<Answer> count_shelf(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  return shown(app::write_stock(**garden,
                                {.product = given.text("product"),
                                 .lot = given.text("lot"),
                                 .amount = given.text("amount"),
                                 .opened = given.maybe("opened"),
                                 .expires = given.maybe("expires"),
                                 .detail = given.text("detail")},
                                when(given), context.now),
               context);
}

Result<Answer> list_shelf(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto shelf = app::shelf(**garden, {}, context.now);
  if (!shelf) return fail(shelf.error());
  return Answer{context.json ? render::shelf_json(*shelf) : render::shelf_text(*shelf, context.style)};
}

Result<Answer> enter(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  return shown(app::write_entry(**garden, {given.text("bed"), given.maybe("exception"), given.maybe("minutes"), given.text("detail")},
                                when(given), context.now),
               context);
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};
constexpr Option sprayer{.name = "equipment", .placeholder = "NAME", .required = true};
constexpr Option nozzle{.name = "nozzle", .placeholder = "NOZZLE"};
constexpr Option at{.name = "at", .placeholder = "TIME"};
constexpr Option by{.name = "by", .placeholder = "WHO"};
constexpr Option detail{.name = "detail", .placeholder = "TEXT"};

}  // namespace

std::vector<Command> keeping_commands() {
  return {
      {"equipment",
       {garden, sprayer, nozzle, {.name = "tank", .placeholder = "V"}, at, detail, by},
       {"leafturn equipment --garden my-garden --equipment knapsack --nozzle \"flat fan 02\" --tank 4gal --by lead"},
       equipment},
      {"catch-test",
       {garden,
        sprayer,
        nozzle,
        {.name = "volume", .placeholder = "V"},
        {.name = "area", .placeholder = "A"},
        {.name = "flow", .placeholder = "Q"},
        {.name = "speed", .placeholder = "V"},
        {.name = "width", .placeholder = "W"},
        at,
        detail,
        by},
       {"leafturn equipment --garden my-garden --equipment knapsack --nozzle \"flat fan 02\" --tank 4gal && leafturn catch-test --garden "
        "my-garden --equipment "
        "knapsack --nozzle \"flat fan 02\" --volume 40floz --area 340ft2 --by lead"},
       catch_test},
      {"shelf count",
       {garden,
        {.name = "product", .placeholder = "PRODUCT", .required = true},
        {.name = "amount", .placeholder = "AMOUNT", .required = true},
        {.name = "lot", .placeholder = "LOT"},
        {.name = "opened", .placeholder = "DAY"},
        {.name = "expires", .placeholder = "DAY"},
        at,
        detail,
        by},
       {"leafturn shelf count --garden my-garden --product \"Demo Oil One\" --amount 1qt --lot A12 --opened 2026-04-02 --expires "
        "2028-01-31"},
       count_shelf},
      {"shelf list", {garden}, {"leafturn shelf list --garden my-garden"}, list_shelf},
      {"enter",
       {garden,
        {.name = "bed", .placeholder = "BED", .required = true},
        {.name = "exception", .placeholder = "WHY"},
        {.name = "minutes", .placeholder = "N"},
        at,
        detail,
        by},
       {"leafturn enter --garden my-garden --bed 11 --exception short-task --minutes 10 --detail \"turned the water off\" --by lead"},
       enter},
  };
}

}  // namespace leafturn::cli
