#include "tests/support/sources.hpp"

#include <algorithm>
#include <filesystem>

#include "tests/support/data.hpp"

namespace leafturn::test {

namespace fs = std::filesystem;

std::vector<SourceFile> source_files(const std::string& folder, const std::vector<std::string>& endings) {
  std::vector<SourceFile> found;
  const fs::path root = source_path("");
  const fs::path start = folder.empty() ? root : root / folder;
  if (!fs::exists(start)) return found;
  for (auto it = fs::recursive_directory_iterator(start); it != fs::recursive_directory_iterator(); ++it) {
    const std::string name = it->path().filename().string();
    if (it->is_directory()) {
      if (name == "node_modules" || name == "build" || name == ".git" || name == "dist") it.disable_recursion_pending();
      continue;
    }
    const bool wanted = std::any_of(endings.begin(), endings.end(), [&](const std::string& end) {
      return name.size() >= end.size() && name.compare(name.size() - end.size(), end.size(), end) == 0;
    });
    if (wanted) found.push_back({fs::relative(it->path(), root).generic_string(), read_file(it->path().string())});
  }
  std::sort(found.begin(), found.end(), [](const SourceFile& a, const SourceFile& b) { return a.path < b.path; });
  return found;
}

std::string without_comments(const std::string& cpp) {
  std::string out;
  for (std::size_t i = 0; i < cpp.size(); ++i) {
    if (cpp.compare(i, 2, "//") == 0) {
      i = cpp.find('\n', i);
      if (i == std::string::npos) break;
      out += '\n';
    } else if (cpp.compare(i, 2, "/*") == 0) {
      i = cpp.find("*/", i);
      if (i == std::string::npos) break;
      ++i;
    } else if (cpp[i] == '"') {
      const std::size_t start = i;
      for (++i; i < cpp.size() && cpp[i] != '"'; ++i)
        if (cpp[i] == '\\') ++i;
      out += cpp.substr(start, i - start + 1);
    } else {
      out += cpp[i];
    }
  }
  return out;
}

}  // namespace leafturn::test
