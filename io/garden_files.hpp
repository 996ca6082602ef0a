#pragma once
/// A garden as a folder of plain files (docs/garden-files.md): garden.toml, beds.csv, plantings.csv, counts.csv, actions.csv,
/// weather/*.csv, cards/*.toml.

#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "core/garden/event.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::io {

struct NamedBytes {
  std::string name;  ///< path inside the folder: `weather/station.csv`
  std::string bytes;
};

/// One row or file as a saying with its time; headings (id, writer) are the caller's.
struct Said {
  garden::Saying saying;
  Instant happened_at;
  std::string by;
  Where where;
};

struct GardenFiles {
  std::vector<Said> said;         ///< garden, beds, plantings, cards, weather, counts, actions
  std::vector<NamedBytes> blobs;  ///< texts of cards and weather files, in the order their sayings name them
  std::vector<Reason> notes;      ///< what was left out: columns, keys and files that mean nothing here; crops without a dossier
};

/// Everything or nothing: the first thing wrong in any file is returned with file, line and field. Bare times are the garden's zone.
/// The same files in any order give the same sayings in the same order. A count known only by day is taken at noon, a spray at the day's
/// end.
Result<GardenFiles> read_garden_files(const std::vector<NamedBytes>& files, const pest::Library& library);

}  // namespace leafturn::io
