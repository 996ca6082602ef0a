#pragma once
/// Dossiers from TOML. The form is docs/dossier.md and dossiers/schema/*.json.

#include <string>
#include <string_view>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::io {

/// `name`: file name, its stem becomes the id. Every figure must carry a source and how it is known: `dossier.figure_without_source`.
Result<pest::Dossier> read_pest_toml(std::string_view bytes, const std::string& name);
Result<pest::Friend> read_friend_toml(std::string_view bytes, const std::string& name);
Result<pest::Crop> read_crop_toml(std::string_view bytes, const std::string& name);

/// The dossiers built into the program.
Result<pest::Library> built_in_library();

}  // namespace leafturn::io
