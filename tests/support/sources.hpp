#pragma once
/// The repository's own sources as text, for the tests that read them.

#include <string>
#include <vector>

namespace leafturn::test {

struct SourceFile {
  std::string path;  ///< from the repository's root
  std::string text;
};

/// Every file under `folder` whose name ends in one of `endings`, sorted; build output and installed packages left out.
std::vector<SourceFile> source_files(const std::string& folder, const std::vector<std::string>& endings);
/// C++ without its comments; string literals stay.
std::string without_comments(const std::string& cpp);

}  // namespace leafturn::test
