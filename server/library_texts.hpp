#pragma once
/// What the program knows of pests and crops, as members of JSON: made once for each language.

#include <array>
#include <mutex>
#include <string>

#include "core/pest/dossier.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

/// Safe to share between threads. One library for its whole life.
class LibraryTexts {
 public:
  /// `"pests":[…],"crops":[…]`, for the pages that write something down.
  const std::string& of(const pest::Library& library, words::Language language);

 private:
  std::array<std::once_flag, 2> once_;
  std::array<std::string, 2> texts_;
};

}  // namespace leafturn::server
