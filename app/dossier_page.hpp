#pragma once
/// A pest to make a page of, and a built-in dossier to begin one's own from.

#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::app {

/// A built-in pest by name or EPPO code, or a pest's dossier file (any name that ends in .toml). Errors: `app.no_such_pest`, those of the
/// file; `dossier.not_a_pest` for a file about something else.
Result<pest::Dossier> pest_or_file(const std::string& name);

/// Writes the built-in dossier `id` (pest, friend or crop) as a new file. Errors: `dossier.no_such`, `file.exists`, `file.cannot_write`.
Status copy_dossier(const std::string& id, const std::string& path);

struct NamedText {
  std::string name, text;
};
/// Writes new files into a folder, which is made where it isn't there. None is written when one of them exists.
Status write_files(const std::string& folder, const std::vector<NamedText>& files);

}  // namespace leafturn::app
