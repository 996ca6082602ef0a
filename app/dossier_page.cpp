#include "app/dossier_page.hpp"

#include <filesystem>
#include <system_error>

#include "app/development.hpp"
#include "app/file_text.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::app {

Result<pest::Dossier> pest_or_file(const std::string& name) {
  if (!name.ends_with(".toml")) {
    const auto pest = find_pest(name);
    if (!pest) return fail(pest.error());
    return **pest;
  }
  const auto text = read_text(name);
  if (!text) return fail(text.error());
  auto read = io::read_dossier_toml(*text, name);
  if (!read) return fail(read.error());
  if (auto* pest = std::get_if<pest::Dossier>(&*read)) return std::move(*pest);
  return fail("dossier.not_a_pest", {name, 0, {}});
}

Status copy_dossier(const std::string& id, const std::string& path) {
  const auto text = io::built_in_text(id);
  if (!text) return fail("dossier.no_such", {{}, 0, "dossier copy"}, {{"given", id}});
  return write_new_file(path, *text);
}

Status write_files(const std::string& folder, const std::vector<NamedText>& files) {
  const auto path_of = [&](const NamedText& file) { return (std::filesystem::path(folder) / file.name).string(); };
  for (const auto& file : files)
    if (auto free = must_not_exist(path_of(file)); !free) return free;
  std::error_code problem;
  std::filesystem::create_directories(folder, problem);
  if (problem) return fail("file.cannot_write", {folder, 0, {}}, {{"reason", problem.message()}}, ErrorKind::cannot);
  for (const auto& file : files)
    if (auto written = write_new_file(path_of(file), file.text); !written) return written;
  return {};
}

}  // namespace leafturn::app
