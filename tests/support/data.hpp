#pragma once
/// Where test data is.

#include <optional>
#include <string>
#include <vector>

namespace leafturn::test {

/// A file of the repository, by its path from the root.
std::string source_path(const std::string& relative);
/// Inside the build folder.
std::string build_path(const std::string& relative);
/// `shared/data/NAME` beside the repository; nothing where shared/ is absent (the test then skips with a message).
std::optional<std::string> shared_data(const std::string& name);
/// A file of the npm package `vega-datasets` (open data), installed by ./check under tests/web/node_modules; nothing before that.
std::optional<std::string> open_data(const std::string& name);
std::string read_file(const std::string& path);
/// A fresh folder for one test, removed by the next run.
std::string fresh_folder(const std::string& name);

/// What a command did.
struct Run {
  int exit_code = 0;
  std::string out, err;
};
/// Runs the program under test (or `program`) with arguments; `input` goes to its standard input.
Run run_program(const std::string& program, const std::vector<std::string>& arguments, const std::string& input = {});

}  // namespace leafturn::test

#define LEAFTURN_SKIP_WITHOUT(variable, what) \
  if (!(variable)) GTEST_SKIP() << what << " is absent here: this check runs where it is present"
