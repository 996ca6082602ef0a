#pragma once
/// The garden itself from garden.toml (docs/garden-files.md).

#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "core/garden/event.hpp"

namespace leafturn::io {

struct GardenToml {
  garden::GardenDescribed described;
  Zone zone;
  std::vector<Reason> notes;  ///< keys that mean nothing here
};

/// Errors: `garden.not_toml`, `garden.key_missing`, `garden.wrong_type`, `garden.unknown_word`, `garden.coordinates`, `zone.unknown`, each
/// with line and field.
Result<GardenToml> read_garden_toml(std::string_view bytes, const std::string& name);

}  // namespace leafturn::io
