#include "app/development.hpp"
#include "app/dossier_check.hpp"
#include "app/dossier_page.hpp"
#include "cli/groups.hpp"
#include "render/dossier_check.hpp"
#include "render/dossier_page.hpp"

namespace leafturn::cli {
namespace {

Result<Answer> check(const Arguments& given, const Context& context) {
  const auto report = app::check_dossier(given.text("file"));
  if (!report) return fail(report.error());
  return Answer{context.json ? render::dossier_check_json(*report, context.style) : render::dossier_check_text(*report, context.style)};
}

Result<Answer> copy(const Arguments& given, const Context& context) {
  const std::string path = given.text("to");
  if (const auto copied = app::copy_dossier(given.text("name"), path); !copied) return fail(copied.error());
  return Answer{render::files_written({path}, context.json, context.style)};
}

Result<Answer> write(const std::string& folder, const std::vector<app::NamedText>& files, const Context& context) {
  if (const auto written = app::write_files(folder, files); !written) return fail(written.error());
  std::vector<std::string> paths;
  for (const auto& file : files) paths.push_back(folder + "/" + file.name);
  return Answer{render::files_written(paths, context.json, context.style)};
}

std::vector<app::NamedText> files_of(const pest::Dossier& pest, const words::Style& style) {
  return {{pest.id + ".md", render::pest_page_markdown(pest, style)}, {pest.id + ".svg", render::rate_curves_svg(pest, style)}};
}

Result<Answer> all_pages(const std::string& folder, const Context& context) {
  const auto library = app::library();
  if (!library) return fail(library.error());
  std::vector<app::NamedText> files{{"README.md", render::pest_index_markdown(**library, context.style)},
                                    {"actives.md", render::actives_page_markdown(**library, context.style)}};
  for (const auto& pest : (*library)->pests)
    for (auto& file : files_of(pest, context.style)) files.push_back(std::move(file));
  return write(folder, files, context);
}

Result<Answer> page(const Arguments& given, const Context& context) {
  if (given.text("pest") == "all" && given.has("out")) return all_pages(given.text("out"), context);
  const auto pest = app::pest_or_file(given.text("pest"));
  if (!pest) return fail(pest.error());
  if (const auto folder = given.maybe("out")) return write(*folder, files_of(*pest, context.style), context);
  const std::string text = render::pest_page_markdown(*pest, context.style);
  return Answer{context.json ? render::page_json(*pest, text, context.style) : text};
}

}  // namespace

std::vector<Command> dossier_commands() {
  return {
      {"dossier copy",
       {{.name = "name", .placeholder = "NAME", .required = true, .positional = true},
        {.name = "to", .placeholder = "FILE", .required = true}},
       {"leafturn dossier copy imported-cabbageworm --to my-cabbageworm.toml"},
       copy},
      {"dossier check",
       {{.name = "file", .placeholder = "FILE", .required = true, .positional = true}},
       {"leafturn dossier check my-cabbageworm.toml"},
       check},
      {"dossier page",
       {{.name = "pest", .placeholder = "PEST", .required = true, .positional = true}, {.name = "out", .placeholder = "FOLDER"}},
       {"leafturn dossier page imported-cabbageworm --out pest-pages"},
       page},
  };
}

}  // namespace leafturn::cli
