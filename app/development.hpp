#pragma once
/// How long a stage takes at constant temperatures.

#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::app {

/// As typed.
struct DevelopmentQuestion {
  std::string pest;                  ///< dossier's file name or EPPO code
  std::string stage;                 ///< a stage's key, a group (`larva`: the sum of its stages), or `egg-adult`
  std::string temps;                 ///< `20C,25C`
  std::optional<std::string> set{};  ///< id of one of the dossier's parameter sets, in place of the rates in use
};

struct DevelopmentRow {
  std::string given;  ///< `20C`
  Temperature at;
  std::optional<double> days;  ///< absent where a stage of it doesn't develop
};

struct DevelopmentAnswer {
  pest::Dossier pest;
  std::string stage;
  std::vector<std::size_t> stages;  ///< indices whose days were added
  std::vector<DevelopmentRow> rows;
};

/// Errors: `app.no_such_pest`, `app.no_such_stage`, `app.no_such_set` (each names what there is), `app.set_unusable`, those of the
/// temperatures.
Result<DevelopmentAnswer> development(const DevelopmentQuestion& question);

/// The dossiers of the program, read once and when first asked for.
Result<const pest::Library*> library();
/// By file name or EPPO code; `app.no_such_pest` names those there are.
Result<const pest::Dossier*> find_pest(const std::string& name);

/// The dossier with the rates of one of its parameter sets (core/phenology/parameter_sets.hpp); as it is without an id. Errors:
/// `app.no_such_set`, `app.set_unusable`.
Result<pest::Dossier> with_set(const pest::Dossier& pest, const std::optional<std::string>& id);

}  // namespace leafturn::app
