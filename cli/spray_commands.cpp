#include <algorithm>
#include <array>

#include "cli/groups.hpp"
#include "render/judgement.hpp"
#include "render/ledger.hpp"

namespace leafturn::cli {
namespace {

bool says_no(label::Verdict verdict) { return verdict == label::Verdict::refused || verdict == label::Verdict::unknown; }

app::ToldTyped told(const Arguments& given) {
  return {.flowers = given.maybe("flowers"),
          .produce = given.maybe("produce"),
          .organic = given.maybe("organic"),
          .enclosed = given.maybe("enclosed"),
          .nearest_person = given.maybe("nearest-person"),
          .nozzle_height = given.maybe("nozzle-height"),
          .droplets = given.maybe("droplets"),
          .family = given.has("family"),
          .adult = given.maybe("adult"),
          .trained = given.maybe("trained"),
          .licensed = given.maybe("licensed"),
          .wearing = given.all("wearing")};
}

Result<Answer> judge(const Arguments& given, const Context& context) {
  const auto answer = app::judge_card({.card = given.text("card"),
                                       .crop = given.text("crop"),
                                       .on = given.text("on"),
                                       .rate = given.maybe("rate"),
                                       .harvests = given.all("harvest"),
                                       .history = given.maybe("history"),
                                       .setting = given.maybe("setting"),
                                       .jurisdiction = given.maybe("jurisdiction"),
                                       .pest = given.maybe("pest"),
                                       .growth_stage = given.maybe("growth-stage"),
                                       .told = told(given),
                                       .zone = given.maybe("zone").value_or("UTC")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::judgement_json(*answer, context.style) : render::judgement_text(*answer, context.style),
                {},
                says_no(answer->judgement.verdict)};
}

app::SprayTyped typed(const Arguments& given) {
  return {.bed = given.text("bed"),
          .planting = given.text("planting"),
          .product = given.text("product"),
          .rate = given.text("rate"),
          .pest = given.text("pest"),
          .detail = given.text("detail"),
          .plan = given.maybe("plan"),
          .outside_label = given.has("outside-label"),
          .used = {.amount = given.maybe("amount"),
                   .area = given.maybe("area"),
                   .mixed = given.maybe("mixed"),
                   .leftover = given.maybe("leftover"),
                   .lot = given.text("lot"),
                   .equipment = given.text("equipment"),
                   .nozzle = given.text("nozzle"),
                   .method = given.text("method"),
                   .why = given.text("why"),
                   .system_plan = given.text("system-plan"),
                   .use_type = given.maybe("use-type"),
                   .growth_stage = given.maybe("growth-stage")},
          .told = told(given)};
}

app::WhenAndWho when(const Arguments& given) { return {given.maybe("at"), given.text("by")}; }

Result<Answer> shown(app::OpenGarden& garden, const Result<app::SprayOutcome>& outcome, bool wrote, const Context& context) {
  if (!outcome) return fail(outcome.error());
  const auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  bool no = wrote ? !outcome->written : outcome->answer->plantings.empty();
  if (!wrote)
    no = no || std::any_of(outcome->answer->plantings.begin(), outcome->answer->plantings.end(),
                           [](const auto& p) { return says_no(p.judgement.verdict); });
  Answer answer{
      context.json ? render::spray_json(*outcome, *zone, context.style) : render::spray_text(*outcome, *zone, context.style), {}, no};
  if (wrote && outcome->actual) answer.remarks.push_back("leafturn: " + words::say(*outcome->actual, context.style));
  if (wrote && no)
    answer.remarks.push_back(
        words::say_error({"treat.not_written", {{}, 0, outcome->question.product}, {}, ErrorKind::bad_input}, context.style));
  return answer;
}

Result<Answer> ask(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  return shown(**garden, app::ask_spray(**garden, typed(given), when(given), context.now), false, context);
}

Result<Answer> write(garden::Application::State state, const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  return shown(**garden, app::write_spray(**garden, state, typed(given), when(given), context.now), true, context);
}

Result<Answer> plan(const Arguments& given, const Context& context) { return write(garden::Application::State::planned, given, context); }
Result<Answer> made(const Arguments& given, const Context& context) { return write(garden::Application::State::made, given, context); }

Result<Answer> cancel(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto outcome = app::cancel_spray(**garden, typed(given), when(given), context.now);
  if (!outcome) return fail(outcome.error());
  return Answer{context.json ? render::receipt_json(*outcome) : render::receipt_text(*outcome, context.style)};
}

Result<Answer> begin(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  app::BeginningTyped typed{
      .plan = given.text("plan"), .bed = given.text("bed"), .product = given.text("product"), .despite = given.text("despite")};
  typed.look.wind = given.maybe("wind");
  typed.look.temperature = given.maybe("temperature");
  typed.look.humidity = given.maybe("humidity");
  typed.look.people_clear = given.maybe("people-clear");
  typed.look.in_flower = given.maybe("in-flower");
  typed.look.dry = given.maybe("dry");
  typed.look.dry_ahead = given.maybe("dry-ahead");
  typed.look.drought = given.maybe("drought");
  typed.look.overcast = given.maybe("overcast");
  typed.look.nozzle_height = given.maybe("nozzle-height");
  const auto outcome = app::write_beginning(**garden, typed, when(given), context.now);
  if (!outcome) return fail(outcome.error());
  return Answer{context.json ? render::receipt_json(*outcome) : render::receipt_text(*outcome, context.style)};
}

Result<Answer> agency(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const std::string answer = given.text("answer");
  if (answer != "allows" && answer != "refuses")
    return fail("write.told", {{}, 0, "--answer"}, {{"given", answer}, {"known", std::string("allows, refuses")}});
  const auto outcome = app::write_agency(
      **garden, {.product = given.text("product"), .on = given.text("on"), .words = given.text("detail"), .allows = answer == "allows"},
      when(given), context.now);
  if (!outcome) return fail(outcome.error());
  return Answer{context.json ? render::receipt_json(*outcome) : render::receipt_text(*outcome, context.style)};
}

Result<Answer> release(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto outcome = app::write_release(**garden, given.text("bed"), given.text("basis"), given.text("detail"), when(given), context.now);
  if (!outcome) return fail(outcome.error());
  return Answer{context.json ? render::receipt_json(*outcome) : render::receipt_text(*outcome, context.style)};
}

constexpr Option garden_option{.name = "garden", .placeholder = "GARDEN", .required = true};
constexpr Option bed{.name = "bed", .placeholder = "BED", .required = true};
constexpr Option product{.name = "product", .placeholder = "PRODUCT", .required = true};
constexpr Option rate{.name = "rate", .placeholder = "RATE"};
constexpr Option at{.name = "at", .placeholder = "TIME"};
constexpr Option by{.name = "by", .placeholder = "WHO"};
constexpr Option pest{.name = "pest", .placeholder = "PEST"};
constexpr Option planting{.name = "planting", .placeholder = "PLANTING"};
constexpr Option detail{.name = "detail", .placeholder = "TEXT"};

constexpr Option plan_id{.name = "plan", .placeholder = "ID", .required = true};

/// Options of a command, and with them what only who stands there can say.
std::vector<Option> with_told(std::vector<Option> options) {
  constexpr std::array<Option, 12> more{{{.name = "flowers", .placeholder = "SEEN"},
                                         {.name = "family", .placeholder = ""},
                                         {.name = "adult", .placeholder = "YES"},
                                         {.name = "trained", .placeholder = "YES"},
                                         {.name = "licensed", .placeholder = "YES"},
                                         {.name = "wearing", .placeholder = "THING", .many = true},
                                         {.name = "produce", .placeholder = "FATE"},
                                         {.name = "organic", .placeholder = "YES"},
                                         {.name = "enclosed", .placeholder = "YES"},
                                         {.name = "nearest-person", .placeholder = "L"},
                                         {.name = "nozzle-height", .placeholder = "L"},
                                         {.name = "droplets", .placeholder = "SIZE"}}};
  options.insert(options.end(), more.begin(), more.end());
  return options;
}

}  // namespace

std::vector<Command> spray_commands() {
  return {
      {"spray ask",
       with_told({garden_option, bed, product, rate, at, pest}),
       {"leafturn spray ask --garden my-garden --bed 1 --product \"Demo Oil One\" --rate \"1 floz/gal\""},
       ask},
      {"spray plan",
       with_told({garden_option, bed, product, rate, at, pest, planting, detail, by}),
       {"leafturn spray plan --garden my-garden --bed 1 --product \"Demo Oil One\" --rate \"1 floz/gal\" --json | tee plan.json"},
       plan},
      {"spray begin",
       {garden_option,
        bed,
        product,
        plan_id,
        {.name = "wind", .placeholder = "V"},
        {.name = "temperature", .placeholder = "T"},
        {.name = "humidity", .placeholder = "SHARE"},
        {.name = "people-clear", .placeholder = "YES"},
        {.name = "in-flower", .placeholder = "YES"},
        {.name = "dry", .placeholder = "YES"},
        {.name = "dry-ahead", .placeholder = "YES"},
        {.name = "drought", .placeholder = "YES"},
        {.name = "overcast", .placeholder = "YES"},
        {.name = "nozzle-height", .placeholder = "L"},
        {.name = "despite", .placeholder = "TEXT"},
        at,
        by},
       {"leafturn spray plan --garden my-garden --bed 2 --product \"Demo Oil One\" --rate \"1 floz/gal\" --json | tee begin.json && "
        "leafturn spray "
        "begin --garden my-garden --bed 2 --product \"Demo Oil One\" --plan \"$(grep -o '\"id\":\"[^\"]*' begin.json | cut -d'\"' -f4)\" "
        "--at "
        "2026-06-11T19:00 --wind 5mph --temperature 70F --humidity 55% --people-clear yes --in-flower no --dry yes --dry-ahead yes "
        "--drought no"},
       begin},
      {"spray made",
       with_told({garden_option,
                  bed,
                  product,
                  rate,
                  at,
                  pest,
                  planting,
                  {.name = "plan", .placeholder = "ID"},
                  {.name = "outside-label", .placeholder = ""},
                  {.name = "amount", .placeholder = "AMOUNT"},
                  {.name = "area", .placeholder = "A"},
                  {.name = "mixed", .placeholder = "V"},
                  {.name = "leftover", .placeholder = "V"},
                  {.name = "lot", .placeholder = "LOT"},
                  {.name = "equipment", .placeholder = "NAME"},
                  {.name = "nozzle", .placeholder = "NOZZLE"},
                  {.name = "method", .placeholder = "TEXT"},
                  {.name = "use-type", .placeholder = "TYPE"},
                  {.name = "growth-stage", .placeholder = "BBCH"},
                  {.name = "why", .placeholder = "TEXT"},
                  {.name = "system-plan", .placeholder = "TEXT"},
                  detail,
                  by}),
       {"leafturn spray made --garden my-garden --bed 1 --product \"Demo Oil One\" --rate \"1 floz/gal\" --outside-label"},
       made},
      {"spray cancel",
       {garden_option, bed, product, plan_id, at, detail, by},
       {"leafturn spray cancel --garden my-garden --bed 1 --product \"Demo Oil One\" --plan \"$(grep -o '\"id\":\"[^\"]*' plan.json | cut "
        "-d'\"' -f4)\""},
       cancel},
      {"agency-answer",
       {garden_option,
        product,
        {.name = "answer", .placeholder = "ANSWER", .required = true},
        {.name = "on", .placeholder = "DAY", .required = true},
        {.name = "detail", .placeholder = "TEXT", .required = true},
        at,
        by},
       {"leafturn agency-answer --garden my-garden --product \"Demo Oil One\" --answer allows --on 2026-06-01 --detail \"Letter 14, "
        "pesticide "
        "section\""},
       agency},
      {"release",
       {garden_option,
        bed,
        {.name = "basis", .placeholder = "BASIS", .required = true},
        {.name = "detail", .placeholder = "TEXT", .required = true},
        at,
        by},
       {"leafturn release --garden my-garden --bed 1 --basis destroyed --detail \"Crop destroyed and buried\""},
       release},
      {"judge",
       with_told({{.name = "card", .placeholder = "CARD", .required = true},
                  {.name = "crop", .placeholder = "EPPO", .required = true},
                  {.name = "on", .placeholder = "TIME", .required = true},
                  rate,
                  {.name = "harvest", .placeholder = "TIME", .many = true},
                  {.name = "history", .placeholder = "CSV"},
                  {.name = "setting", .placeholder = "SETTING"},
                  {.name = "jurisdiction", .placeholder = "PLACE"},
                  pest,
                  {.name = "growth-stage", .placeholder = "BBCH"},
                  {.name = "zone", .placeholder = "ZONE"}}),
       {"leafturn judge --card demo/cards/demo-oil-one.toml --crop BRSOK --on 2026-06-12 --rate \"1 floz/gal\" --harvest 2026-06-14 "
        "--history demo/actions.csv --setting agricultural"},
       judge},
  };
}

}  // namespace leafturn::cli
