// Every fuzz target over its corpus and over the repository's own files: what once broke a reader stays mended in every build.
#include <cstdint>
#include <filesystem>

#include "tests/support/data.hpp"

#define LEAFTURN_FUZZ_TARGET(name) extern "C" int name(const std::uint8_t* data, std::size_t size);
#include "fuzz_targets.inc"
#undef LEAFTURN_FUZZ_TARGET

namespace leafturn {
namespace {

namespace fs = std::filesystem;

using Target = int (*)(const std::uint8_t*, std::size_t);

int run_folder(Target target, const std::string& relative) {
  const fs::path root = test::source_path(relative);
  if (!fs::exists(root)) return 0;
  int runs = 0;
  for (const auto& entry : fs::recursive_directory_iterator(root)) {
    if (!entry.is_regular_file()) continue;
    const std::string bytes = test::read_file(entry.path().string());
    EXPECT_EQ(target(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()), 0) << entry.path().filename();
    ++runs;
  }
  return runs;
}

void replay(const char* name, Target target) {
  EXPECT_GT(run_folder(target, std::string("tests/fuzz/corpus/") + name), 0) << name << " has no corpus";
  for (const char* folder : {"tests/io/broken", "tests/io/garden", "dossiers/pests", "demo"}) run_folder(target, folder);
}

#define LEAFTURN_FUZZ_TARGET(name) \
  TEST(Replay, name) { replay(#name, ::name); }
#include "fuzz_targets.inc"
#undef LEAFTURN_FUZZ_TARGET

}  // namespace
}  // namespace leafturn
