#include "cli/run.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>
#include <vector>

#include "cli/command.hpp"
#include "cli/help.hpp"
#include "cli/parse.hpp"

namespace leafturn::cli {
namespace {

constexpr int done = 0;
constexpr int answer_is_no = 1;
constexpr int bad_input = 2;
constexpr int could_not = 3;

void remark(const std::string& line) { std::fprintf(stderr, "leafturn: %s\n", line.c_str()); }

int report(const Error& error, const words::Style& style) {
  remark(words::say_error(error, style));
  switch (error.kind) {
    case ErrorKind::bad_input:
    case ErrorKind::forbidden:
    case ErrorKind::not_found:
      return bad_input;
    case ErrorKind::conflict:
    case ErrorKind::cannot:
      return could_not;
  }
  return could_not;
}

/// A pipe that closed early or a full disk must not look like a complete answer.
int put(const std::string& text, int code, const words::Style& style) {
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (std::fflush(stdout) == 0 && written) return code;
  return report({"cli.output", {"stdout", 0, {}}, {}, ErrorKind::cannot}, style);
}

/// The language of the surroundings, as POSIX has it: the first of these that is set decides.
words::Language surrounding_language() {
  for (const char* name : {"LC_ALL", "LC_MESSAGES", "LANG"}) {
    const char* value = std::getenv(name);
    if (value != nullptr && *value != '\0') return words::parse_language(value).value_or(words::Language::en);
  }
  return words::Language::en;
}

Instant clock_now() {
  const auto since = std::chrono::system_clock::now().time_since_epoch();
  return Instant::from_unix_microseconds(std::chrono::duration_cast<std::chrono::microseconds>(since).count());
}

int run_words(const std::vector<std::string>& given, words::Style& style) {
  const FirstLook look = first_look(given);
  if (look.language) {
    const auto language = words::parse_language(*look.language);
    if (!language) return report({"usage.language", {{}, 0, "--lang"}, {{"given", *look.language}}, ErrorKind::bad_input}, style);
    style.language = *language;
  }
  if (look.help) return put(help(look.path, style), done, style);
  const auto parsed = parse(given);
  if (!parsed) return report(parsed.error(), style);
  const auto answer = parsed->command->run(parsed->arguments, {style, parsed->json, clock_now()});
  if (!answer) return report(answer.error(), style);
  for (const auto& line : answer->remarks) remark(line);
  return put(answer->output, answer->no ? answer_is_no : done, style);
}

}  // namespace

int run(int argc, char** argv) {
  words::Style style;
  style.language = surrounding_language();
  try {
    return run_words({argv + (argc > 0 ? 1 : 0), argv + argc}, style);
  } catch (const std::exception& problem) {
    // Libraries below throw for what no input of ours explains: no memory, a broken installation.
    return report({"cli.unexpected", {}, {{"reason", std::string(problem.what())}}, ErrorKind::cannot}, style);
  }
}

}  // namespace leafturn::cli
