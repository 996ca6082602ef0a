#include "app/ask_time.hpp"
#include "app/compare.hpp"
#include "app/pull.hpp"
#include "cli/groups.hpp"
#include "render/decide.hpp"

namespace leafturn::cli {
namespace {

Result<app::BedQuestion> question_of(app::OpenGarden& garden, const Arguments& given) {
  const auto at = app::asked_time(garden, given.maybe("at"), given.maybe("zone"));
  if (!at) return fail(at.error());
  return app::BedQuestion{given.text("bed"), given.maybe("pest"), *at};
}

Result<Answer> compare(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto question = question_of(**garden, given);
  if (!question) return fail(question.error());
  const auto answer = app::compare(**garden, *question, context.now);
  if (!answer) return fail(answer.error());
  words::Style style = context.style;
  style.units = answer->units;
  return Answer{context.json ? render::compare_json(*answer, style) : render::compare_text(*answer, style)};
}

Result<Answer> pull(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto question = question_of(**garden, given);
  if (!question) return fail(question.error());
  const auto answer = app::pull(**garden, *question, context.now);
  if (!answer) return fail(answer.error());
  words::Style style = context.style;
  style.units = answer->units;
  return Answer{context.json ? render::pull_json(*answer, style) : render::pull_text(*answer, style)};
}

std::vector<Option> options() {
  return {{.name = "garden", .placeholder = "GARDEN", .required = true},
          {.name = "bed", .placeholder = "BED", .required = true},
          {.name = "pest", .placeholder = "PEST"},
          {.name = "at", .placeholder = "TIME"},
          {.name = "zone", .placeholder = "ZONE"}};
}

}  // namespace

std::vector<Command> decide_commands() {
  return {
      {"compare",
       options(),
       {"leafturn compare --garden my-garden --bed 1", "leafturn compare --garden my-garden --bed 3 --pest MURGHI --json"},
       compare},
      {"pull", options(), {"leafturn pull --garden my-garden --bed 3"}, pull},
  };
}

}  // namespace leafturn::cli
