#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>
#include <thread>

#include "bench/support/bench.hpp"

namespace leafturn::bench {
namespace {

std::string processor() {
  std::ifstream info("/proc/cpuinfo");
  for (std::string line; std::getline(info, line);)
    if (line.rfind("model name", 0) == 0) return line.substr(line.find(':') + 2);
  return "unknown";
}

// The commit that was measured; marked when files under the measured folders differ from it.
std::string commit() {
  const std::string git = "git -C '" LEAFTURN_SOURCE_DIR "' ";
  const std::string hash = output_of(git + "rev-parse HEAD 2>/dev/null");
  if (hash.empty()) return "unknown";
  return output_of(git + "status --porcelain -- core io store app bench cmake CMakeLists.txt 2>/dev/null").empty() ? hash
                                                                                                                   : hash + " with changes";
}

}  // namespace

void Results::figure(const std::string& name, Estimate value) { figures_[name] = value; }
void Results::raw(const std::string& name, const std::vector<double>& values) { raw_[name] = values; }
void Results::note(const std::string& name, const std::string& text) { notes_[name] = text; }

int Results::finish() const {
  nlohmann::ordered_json json;
  json["command"] = options_.command;
  json["commit"] = commit();
  json["machine"] = {{"processor", processor()}, {"cores", std::thread::hardware_concurrency()}, {"compiler", __VERSION__}};
  for (const auto& [name, value] : figures_) {
    json["figures"][name] = value.mean;
    json["standard_errors"][name] = value.standard_error;
  }
  for (const auto& [name, values] : raw_) json["raw"][name] = values;
  for (const auto& [name, text] : notes_) json["raw"][name] = text;
  const std::string text = json.dump(2) + "\n";
  std::fputs(text.c_str(), stdout);
  if (options_.out.empty()) return 0;
  std::ofstream file(options_.out, std::ios::binary);
  file << text;
  file.close();
  if (file) return 0;
  std::fprintf(stderr, "leafturn: the results could not be written (%s): give --out a file in a folder that exists\n",
               options_.out.c_str());
  return 3;
}

}  // namespace leafturn::bench
