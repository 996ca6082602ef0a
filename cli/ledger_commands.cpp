#include <cstdio>
#include <memory>

#include "app/file_text.hpp"
#include "cli/groups.hpp"
#include "render/ledger.hpp"

namespace leafturn::cli {
namespace {

Result<Answer> verify(const Arguments& given, const Context& context) {
  const auto head = app::parse_head(given.maybe("head"));
  if (!head) return fail(head.error());
  const auto verification = app::verify_ledger(given.text("garden"), *head);
  if (!verification) return fail(verification.error());
  return Answer{
      context.json ? render::verification_json(*verification, context.style) : render::verification_text(*verification, context.style),
      {},
      !verification->intact};
}

Result<Answer> export_events(const Arguments& given, const Context& context) {
  const std::string folder = given.text("garden");
  std::vector<std::string> lines;
  const auto exported = app::export_ledger(folder, [&](std::string_view line) { lines.emplace_back(line); });
  if (!exported) return fail(exported.error());
  const auto verification = app::verify_ledger(folder, std::nullopt);
  if (!verification) return fail(verification.error());
  std::string text;
  for (const auto& line : lines) text += line + "\n";
  const auto path = given.maybe("to");
  if (!path) return Answer{context.json ? render::export_json(*verification, lines, context.style) : text, {}, !verification->intact};
  if (const auto written = app::write_new_file(*path, text); !written) return fail(written.error());
  return Answer{
      context.json ? render::copy_json(*verification, *path, context.style) : render::copy_text(*verification, *path, context.style),
      {},
      !verification->intact};
}

Result<Answer> backup(const Arguments& given, const Context& context) {
  const std::string folder = given.text("garden");
  const std::string path = given.text("to");
  if (const auto free = app::must_not_exist(path); !free) return fail(free.error());
  if (const auto copied = app::backup_ledger(folder, path); !copied) return fail(copied.error());
  const auto verification = app::verify_ledger(folder, std::nullopt);
  if (!verification) return fail(verification.error());
  return Answer{
      context.json ? render::copy_json(*verification, path, context.style) : render::copy_text(*verification, path, context.style),
      {},
      !verification->intact};
}

Result<Answer> import_events(const Arguments& given, const Context& context) {
  const std::string folder = given.text("garden");
  const auto lines = app::read_text(given.text("file"));
  if (!lines) return fail(lines.error());
  const auto imported = app::import_events(folder, *lines, context.now);
  if (!imported) return fail(imported.error());
  const auto verification = app::verify_ledger(folder, std::nullopt);
  if (!verification) return fail(verification.error());
  return Answer{context.json ? render::imported_events_json(*imported, *verification, context.style)
                             : render::imported_events_text(*imported, context.style),
                {},
                !verification->intact};
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};

}  // namespace

std::vector<Command> ledger_commands() {
  return {
      {"ledger verify", {garden, {.name = "head", .placeholder = "HEAD"}}, {"leafturn ledger verify --garden my-garden"}, verify},
      {"ledger export",
       {garden, {.name = "to", .placeholder = "FILE"}},
       {"leafturn ledger export --garden my-garden --to events.jsonl"},
       export_events},
      {"ledger backup",
       {garden, {.name = "to", .placeholder = "FILE", .required = true}},
       {"leafturn ledger backup --garden my-garden --to ledger-copy.db"},
       backup},
      {"ledger import",
       {{.name = "file", .placeholder = "FILE", .required = true, .positional = true}, garden},
       {"leafturn ledger import events.jsonl --garden my-garden"},
       import_events},
  };
}

}  // namespace leafturn::cli
