#include "cli/groups.hpp"
#include "render/develop.hpp"

namespace leafturn::cli {
namespace {

Result<Answer> develop_fit(const Arguments& given, const Context& context) {
  const auto answer = app::develop_fit({.table = given.text("table"),
                                        .forms = given.text("form"),
                                        .weights = given.maybe("weights"),
                                        .base = given.maybe("base"),
                                        .seed = given.maybe("seed"),
                                        .id = given.maybe("id"),
                                        .population = given.maybe("population"),
                                        .first = given.maybe("first"),
                                        .last = given.maybe("last"),
                                        .source = given.maybe("source")});
  if (!answer) return fail(answer.error());
  return Answer{context.json ? render::develop_fit_json(*answer, context.style) : render::develop_fit_text(*answer, context.style),
                remarks_of(answer->notes, given.text("table"), context), answer->none_fitted()};
}

}  // namespace

std::vector<Command> develop_commands() {
  return {
      {"develop fit",
       {{.name = "table", .placeholder = "TABLE", .required = true, .positional = true},
        {.name = "form", .placeholder = "FORM,FORM…|all", .required = true},
        {.name = "weights", .placeholder = "alike|n|sd"},
        {.name = "base", .placeholder = "T"},
        {.name = "seed", .placeholder = "N"},
        {.name = "id", .placeholder = "ID"},
        {.name = "population", .placeholder = "TEXT"},
        {.name = "first", .placeholder = "STAGE"},
        {.name = "last", .placeholder = "STAGE"},
        {.name = "source", .placeholder = "TEXT"}},
       {"leafturn develop fit demo/rearing.tsv --form briere-1,lactin-2"},
       develop_fit},
  };
}

}  // namespace leafturn::cli
