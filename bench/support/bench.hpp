#pragma once
/// What every bench shares: its options, its statistics and its results on file (docs/results.md).

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace leafturn::bench {

/// `--quick --seed N --out FILE`.
struct Options {
  bool quick = false;
  std::uint64_t seed = 1;
  std::string out;      ///< where the results go besides standard output; empty = nowhere
  std::string command;  ///< as it was called, the program by its path from the repository's root
};
/// Exits 2 with a usage line on anything else.
Options read_options(int argc, char** argv, const char* name);

struct Estimate {
  double mean = 0.0;
  double standard_error = 0.0;
};
/// Mean of repeated rounds and its standard error.
Estimate estimate(const std::vector<double>& rounds);

/// Standard output of a shell command, without its last line break; empty when it failed.
std::string output_of(const std::string& command);

class Results {
 public:
  explicit Results(Options options) : options_{std::move(options)} {}
  void figure(const std::string& name, Estimate value);
  void raw(const std::string& name, const std::vector<double>& values);
  void note(const std::string& name, const std::string& text);  ///< among the raw values
  /// Prints the results as one JSON value and writes them to `--out`. The program's exit code: 3 when the file can't be written.
  int finish() const;

 private:
  Options options_;
  std::map<std::string, Estimate> figures_;
  std::map<std::string, std::vector<double>> raw_;
  std::map<std::string, std::string> notes_;
};

}  // namespace leafturn::bench
