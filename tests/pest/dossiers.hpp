#pragma once
/// The built-in dossiers, asked what the tests against published durations ask. A missing name fails the test that asked for it.

#include <string_view>

#include "core/pest/dossier.hpp"

namespace leafturn::test {

const pest::Library& library();
const pest::Dossier& dossier(std::string_view id);
/// Days from entering stage `from` to leaving stage `to` at a constant temperature; 1e9 where a stage doesn't develop.
double days(const pest::Dossier& d, std::string_view from, std::string_view to, double celsius);
double days(const std::vector<pest::Stage>& stages, std::string_view from, std::string_view to, double celsius);
const pest::ParameterSet& set_of(const pest::Dossier& d, std::string_view id);
/// Days of the whole span the set covers; 1e9 where it doesn't develop.
double days_by(const pest::ParameterSet& set, double celsius);
const pest::Figure& figure(const pest::Dossier& d, std::string_view what);

}  // namespace leafturn::test
