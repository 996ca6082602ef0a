#pragma once
/// Every figure of a dossier with where it comes from, in the order of its file: for pages, checks and counts.

#include <string>
#include <vector>

#include "core/pest/dossier.hpp"

namespace leafturn::pest {

struct Cited {
  std::string what;  ///< `stage.egg`, `threshold.larva`, `figure.egg_days`
  const Source* source = nullptr;
};

/// The pointers are into the dossier.
std::vector<Cited> figures_of(const Dossier& dossier);
std::vector<Cited> figures_of(const Friend& one);
std::vector<Cited> figures_of(const Crop& crop);
std::vector<Cited> figures_of(const Active& active);

}  // namespace leafturn::pest
