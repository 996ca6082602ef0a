#pragma once
/// A dossier of one's own, looked over: is it well formed, on what does it rest, what would keep it from being used.

#include <map>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::app {

struct DossierReport {
  enum class Kind { pest, ally, crop, active } kind = Kind::pest;
  std::string id, scientific;
  std::size_t figures = 0;
  std::map<pest::Known, std::size_t> by_known;
  std::vector<std::string> citations;  ///< sorted, each once
  std::vector<std::string> gaps;
  std::vector<Reason> remarks;  ///< what is well formed but odd or missing: `dossier_check.CODE`
};

/// Errors: those of the file and of its reader, with line and field. A remark is no error.
Result<DossierReport> check_dossier(const std::string& path);

}  // namespace leafturn::app
