#include "bench/support/bench.hpp"

#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string_view>

namespace leafturn::bench {

Options read_options(int argc, char** argv, const char* name) {
  Options options;
  options.command = std::string("build/release/bench/") + name;
  const auto refuse = [&](std::string_view word) {
    std::fprintf(stderr, "leafturn: %.*s is not understood (bench %s): give --quick, --seed N, --out FILE\n", static_cast<int>(word.size()),
                 word.data(), name);
    std::exit(2);
  };
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i];
    if (word == "--quick") {
      options.quick = true;
      options.command += " --quick";
      continue;
    }
    if ((word != "--seed" && word != "--out") || i + 1 == argc) refuse(word);
    const std::string_view value = argv[++i];
    if (word == "--out") {
      options.out = value;
      continue;
    }
    const auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), options.seed);
    if (error != std::errc{} || end != value.data() + value.size()) refuse(value);
  }
  options.command += " --seed " + std::to_string(options.seed);
  return options;
}

Estimate estimate(const std::vector<double>& rounds) {
  Estimate result;
  if (rounds.empty()) return result;
  const auto n = static_cast<double>(rounds.size());
  for (const double value : rounds) result.mean += value / n;
  double squares = 0.0;
  for (const double value : rounds) squares += (value - result.mean) * (value - result.mean);
  if (rounds.size() > 1) result.standard_error = std::sqrt(squares / (n - 1.0) / n);
  return result;
}

std::string output_of(const std::string& command) {
  std::FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return {};
  std::string text;
  char buffer[4096];
  for (std::size_t n; (n = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) text.append(buffer, n);
  if (pclose(pipe) != 0) return {};
  while (!text.empty() && text.back() == '\n') text.pop_back();
  return text;
}

}  // namespace leafturn::bench
