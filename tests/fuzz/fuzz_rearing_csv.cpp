#include "io/rearing_csv.hpp"
#include "tests/fuzz/fuzz.hpp"

using namespace leafturn;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto table = io::read_rearing_csv(fuzz::text_of(data, size), "any.csv");
  if (!table) {
    fuzz::readable(table.error());
    return 0;
  }
  if (table->rows.size() > 40) return 0;
  // Whatever was read, a fit ends and says nothing that isn't a number.
  for (const auto form : {phenology::FitForm::linear, phenology::FitForm::briere_1, phenology::FitForm::lactin_2}) {
    const auto fit = phenology::fit_rate({.rows = table->rows, .form = form, .resamples = 0});
    for (const auto& e : fit.parameters) fuzz::require(e.value - e.value <= 0.0, "every parameter is finite");
    fuzz::require(fit.model.has_value() || !fit.reasons.empty(), "a refusal has its reason");
  }
  return 0;
}
