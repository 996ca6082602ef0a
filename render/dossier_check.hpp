#pragma once
/// What was found about a dossier of one's own.

#include <string>

#include "app/dossier_check.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

std::string dossier_check_text(const app::DossierReport& report, const words::Style& style);
std::string dossier_check_json(const app::DossierReport& report, const words::Style& style);

}  // namespace leafturn::render
