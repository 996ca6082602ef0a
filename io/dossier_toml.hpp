#pragma once
/// Dossiers from TOML. The form is docs/dossier.md and dossiers/schema/*.json.

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::io {

/// `name`: file name, its stem becomes the id. Every figure must carry a source and how it is known: `dossier.figure_without_source`.
Result<pest::Dossier> read_pest_toml(std::string_view bytes, const std::string& name);
Result<pest::Friend> read_friend_toml(std::string_view bytes, const std::string& name);
Result<pest::Crop> read_crop_toml(std::string_view bytes, const std::string& name);

/// Whichever of the four it is, told by what only one of them has: `biofix`, `roles`, `parts`, `mode_of_action`; else
/// `dossier.unknown_kind`.
using AnyDossier = std::variant<pest::Dossier, pest::Friend, pest::Crop, pest::Active>;
Result<AnyDossier> read_dossier_toml(std::string_view bytes, const std::string& name);

/// The dossiers built into the program.
Result<pest::Library> built_in_library();
/// The file a built-in pest, friend, crop or active was read from, by its id; nothing for an unknown one.
std::optional<std::string_view> built_in_text(std::string_view id);

}  // namespace leafturn::io
