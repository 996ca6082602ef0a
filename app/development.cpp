#include "app/development.hpp"

#include <utility>

#include "app/dossier_page.hpp"
#include "core/phenology/parameter_sets.hpp"
#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"
#include "io/quantity_text.hpp"

namespace leafturn::app {
namespace {

/// Indices of the stages a word means; every stage before the first adult for `egg-adult`.
std::vector<std::size_t> stages_of(const pest::Dossier& pest, const std::string& word) {
  if (word != "egg-adult") return pest::stages_for(pest, word).stages;
  std::vector<std::size_t> young;
  for (std::size_t i = 0; i < pest.stages.size() && pest.stages[i].group != pest::StageGroup::adult; ++i) young.push_back(i);
  return young;
}

std::optional<double> days_for(const DevelopmentAnswer& answer, Temperature at) {
  double sum = 0.0;
  for (const std::size_t stage : answer.stages) {
    const auto days = phenology::days_at(answer.pest.stages[stage].rate, at);
    if (!days) return std::nullopt;
    sum += *days;
  }
  return sum;
}

}  // namespace

Result<const pest::Library*> library() {
  static const Result<pest::Library> loaded = io::built_in_library();
  if (!loaded) return fail(loaded.error());
  return &*loaded;
}

Result<const pest::Dossier*> find_pest(const std::string& name) {
  const auto books = library();
  if (!books) return fail(books.error());
  if (const auto* pest = (*books)->pest(name)) return pest;
  std::string known;
  for (const auto& pest : (*books)->pests) known += (known.empty() ? "" : ", ") + pest.id;
  return fail("app.no_such_pest", {{}, 0, "PEST"}, {{"given", name}, {"known", known}}, ErrorKind::not_found);
}

Result<pest::Dossier> with_set(const pest::Dossier& pest, const std::optional<std::string>& id) {
  if (!id) return pest;
  if (auto other = phenology::with_set(pest, *id)) return std::move(*other);
  std::string known;
  for (const auto& set : pest.sets) {
    if (set.id == *id) return fail("app.set_unusable", {{}, 0, "--set"}, {{"given", *id}, {"pest", pest.id}});
    known += (known.empty() ? "" : ", ") + set.id;
  }
  return fail("app.no_such_set", {{}, 0, "--set"}, {{"given", *id}, {"pest", pest.id}, {"known", known.empty() ? "–" : known}},
              ErrorKind::not_found);
}

Result<DevelopmentAnswer> development(const DevelopmentQuestion& question) {
  const auto pest = pest_or_file(question.pest);
  if (!pest) return fail(pest.error());
  auto dossier = with_set(*pest, question.set);
  if (!dossier) return fail(dossier.error());
  DevelopmentAnswer answer{std::move(*dossier), question.stage, stages_of(*pest, question.stage), {}};
  if (answer.stages.empty()) {
    std::string known = "egg-adult";
    for (const auto& stage : answer.pest.stages) known += ", " + stage.key;
    return fail("app.no_such_stage", {{}, 0, "--stage"}, {{"given", question.stage}, {"pest", answer.pest.id}, {"known", known}},
                ErrorKind::not_found);
  }
  std::size_t start = 0;
  while (start <= question.temps.size()) {
    const std::size_t comma = std::min(question.temps.find(',', start), question.temps.size());
    const std::string given = question.temps.substr(start, comma - start);
    start = comma + 1;
    const auto at = io::parse_temperature(given, "--temps");
    if (!at) return fail(at.error());
    answer.rows.push_back({given, *at, days_for(answer, *at)});
  }
  return answer;
}

}  // namespace leafturn::app
