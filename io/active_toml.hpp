#pragma once
/// Active ingredients from TOML. The form is docs/dossier.md and dossiers/schema/active.schema.json.

#include <string>
#include <string_view>

#include "core/base/result.hpp"
#include "core/pest/active.hpp"

namespace leafturn::io {

/// `name`: file name, its stem becomes the id. Errors as of any dossier: code, line, field.
Result<pest::Active> read_active_toml(std::string_view bytes, const std::string& name);

}  // namespace leafturn::io
