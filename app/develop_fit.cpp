#include "app/develop_fit.hpp"

#include <algorithm>
#include <limits>

#include "app/file_text.hpp"
#include "io/quantity_text.hpp"
#include "io/rearing_csv.hpp"

namespace leafturn::app {
namespace {

using phenology::FitForm;
using phenology::FitWeights;

constexpr int resamples = 500;

std::string form_words() {
  std::string words = "all";
  for (int i = 0; i < phenology::fit_form_count; ++i) words += ", " + std::string(phenology::word_for(static_cast<FitForm>(i)));
  return words;
}

Result<std::vector<FitForm>> read_forms(const std::string& given) {
  std::vector<FitForm> forms;
  if (given == "all") {
    for (int i = 0; i < phenology::fit_form_count; ++i) forms.push_back(static_cast<FitForm>(i));
    return forms;
  }
  std::size_t start = 0;
  while (start <= given.size()) {
    const std::size_t comma = std::min(given.find(',', start), given.size());
    const std::string word = given.substr(start, comma - start);
    start = comma + 1;
    const auto form = phenology::fit_form(word);
    if (!form) return fail("fit.form", {{}, 0, "--form"}, {{"given", word}, {"accepted", form_words()}});
    if (std::find(forms.begin(), forms.end(), *form) == forms.end()) forms.push_back(*form);
  }
  return forms;
}

Result<FitWeights> read_weights(const std::optional<std::string>& given) {
  if (!given || *given == "alike") return FitWeights::alike;
  if (*given == "n") return FitWeights::n;
  if (*given == "sd") return FitWeights::sd;
  return fail("fit.weights", {{}, 0, "--weights"}, {{"given", *given}, {"accepted", "alike, n, sd"}});
}

std::string stem(const std::string& path) {
  const std::size_t slash = path.find_last_of("/\\");
  const std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
  const std::size_t dot = name.rfind('.');
  return dot == std::string::npos || dot == 0 ? name : name.substr(0, dot);
}

}  // namespace

bool DevelopFitAnswer::none_fitted() const {
  return std::none_of(fits.begin(), fits.end(), [](const phenology::RateFit& fit) { return fit.model.has_value(); });
}

Result<DevelopFitAnswer> develop_fit(const DevelopFitQuestion& question) {
  DevelopFitAnswer answer;
  answer.asked = question;
  answer.name = stem(question.table);
  answer.resamples = resamples;
  const auto forms = read_forms(question.forms);
  if (!forms) return fail(forms.error());
  const auto weights = read_weights(question.weights);
  if (!weights) return fail(weights.error());
  answer.weights = *weights;
  Temperature base;
  if (question.base) {
    const auto given = io::parse_temperature(*question.base, "--base");
    if (!given) return fail(given.error());
    base = *given;
  }
  if (question.seed) {
    const auto given = io::parse_whole(*question.seed, "--seed", 0, std::numeric_limits<int>::max());
    if (!given) return fail(given.error());
    answer.seed = static_cast<std::uint64_t>(*given);
  }
  const auto bytes = read_text(question.table);
  if (!bytes) return fail(bytes.error());
  auto table = io::read_rearing_csv(*bytes, question.table);
  if (!table) return fail(table.error());
  answer.rows = std::move(table->rows);
  answer.notes = std::move(table->notes);

  std::optional<double> lowest;
  std::size_t judged = 0;
  for (const FitForm form : *forms) {
    answer.fits.push_back(phenology::fit_rate(
        {.rows = answer.rows, .form = form, .weights = answer.weights, .base = base, .seed = answer.seed, .resamples = resamples}));
    const auto& aicc = answer.fits.back().aicc;
    if (!aicc) continue;
    ++judged;
    if (!lowest || *aicc < *lowest) {
      lowest = aicc;
      answer.best = answer.fits.size() - 1;
    }
  }
  if (judged < 2) answer.best.reset();
  return answer;
}

}  // namespace leafturn::app
