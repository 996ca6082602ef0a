#include "tests/pest/dossiers.hpp"

#include <gtest/gtest.h>

#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::test {

const pest::Library& library() {
  static const auto found = io::built_in_library();
  return *found;
}

const pest::Dossier& dossier(std::string_view id) { return *library().pest(id); }

double days(const std::vector<pest::Stage>& stages, std::string_view from, std::string_view to, double celsius) {
  double sum = 0.0;
  bool inside = false;
  for (const auto& stage : stages) {
    inside = inside || stage.key == from;
    if (inside) sum += phenology::days_at(stage.rate, Temperature::celsius(celsius)).value_or(1e9);
    if (stage.key == to) return sum;
  }
  ADD_FAILURE() << "no stages " << from << " to " << to;
  return sum;
}

double days(const pest::Dossier& d, std::string_view from, std::string_view to, double celsius) {
  return days(d.stages, from, to, celsius);
}

const pest::ParameterSet& set_of(const pest::Dossier& d, std::string_view id) {
  for (const auto& set : d.sets)
    if (set.id == id) return set;
  ADD_FAILURE() << d.id << " has no set " << id;
  static const pest::ParameterSet none;
  return none;
}

double days_by(const pest::ParameterSet& set, double celsius) {
  return phenology::days_at(set.model, Temperature::celsius(celsius)).value_or(1e9);
}

const pest::Figure& figure(const pest::Dossier& d, std::string_view what) {
  for (const auto& f : d.figures)
    if (f.what == what) return f;
  ADD_FAILURE() << d.id << " has no figure " << what;
  static const pest::Figure none;
  return none;
}

}  // namespace leafturn::test
