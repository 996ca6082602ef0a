#include <cstdio>
#include <memory>

#include "app/file_text.hpp"
#include "cli/groups.hpp"
#include "render/checkup.hpp"
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
  const auto exported = app::export_ledger(folder, [&](std::string_view line) { lines.emplace_back(line); }, given.maybe("guest"));
  if (!exported) return fail(exported.error());
  auto verification = app::verify_ledger(folder, std::nullopt);
  if (!verification) return fail(verification.error());
  if (given.has("guest")) {
    const auto guest = app::guest_of(folder, given.text("guest"));
    if (!guest) return fail(guest.error());
    verification->events = guest->events;
    verification->head = guest->head;
  }
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
  const auto named = given.maybe("to") ? Result<std::string>(given.text("to")) : app::backup_name(folder, context.now);
  if (!named) return fail(named.error());
  const std::string& path = *named;
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
  const auto imported = app::import_events(folder, *lines, context.now, given.maybe("as"));
  if (!imported) return fail(imported.error());
  const auto verification = app::verify_ledger(folder, std::nullopt);
  if (!verification) return fail(verification.error());
  return Answer{context.json ? render::imported_events_json(*imported, *verification, context.style)
                             : render::imported_events_text(*imported, context.style),
                {},
                !verification->intact};
}

Result<Answer> restore(const Arguments& given, const Context& context) {
  const auto head = app::parse_head(given.maybe("head"));
  if (!head) return fail(head.error());
  const auto into = given.maybe("into");
  if (into.has_value() == given.has("check")) return fail("usage.restore", {{}, 0, "--check"});
  const auto restored = app::restore_ledger(given.text("file"), into, *head);
  if (!restored) return fail(restored.error());
  return Answer{context.json ? render::restored_json(*restored, context.now, context.style)
                             : render::restored_text(*restored, context.now, context.style),
                {},
                !restored->yes()};
}

Result<Answer> guests(const Arguments& given, const Context& context) {
  const auto found = app::guests_of(given.text("garden"));
  if (!found) return fail(found.error());
  return Answer{context.json ? render::guests_json(*found) : render::guests_text(*found, context.style), {}, false};
}

Result<Answer> doctor(const Arguments& given, const Context& context) {
  const auto checkup = app::examine(given.text("garden"), given.maybe("backups"), context.now);
  if (!checkup) return fail(checkup.error());
  return Answer{
      context.json ? render::checkup_json(*checkup, context.style) : render::checkup_text(*checkup, context.style), {}, checkup->bad()};
}

Result<Answer> phone_file(const Arguments& given, const Context& context) {
  const auto text = app::read_text(given.text("file"));
  if (!text) return fail(text.error());
  const auto to = given.maybe("receipts");
  if (to)
    if (const auto free = app::must_not_exist(*to); !free) return fail(free.error());
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto taken = app::take_phone_file(**garden, *text, context.now);
  if (!taken) return fail(taken.error());
  if (to) {
    const auto zone = (*garden)->zone();
    if (!zone) return fail(zone.error());
    if (const auto written = app::write_new_file(*to, app::phone_receipts(*taken, *zone, context.now)); !written)
      return fail(written.error());
  }
  return Answer{context.json ? render::phone_file_json(*taken, context.style) : render::phone_file_text(*taken, context.style),
                {},
                taken->refused + taken->quarantined > 0};
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};

}  // namespace

std::vector<Command> ledger_commands() {
  return {
      {"ledger verify", {garden, {.name = "head", .placeholder = "HEAD"}}, {"leafturn ledger verify --garden my-garden"}, verify},
      {"ledger export",
       {garden, {.name = "to", .placeholder = "FILE"}, {.name = "guest", .placeholder = "NAME"}},
       {"leafturn ledger export --garden my-garden --to events.jsonl"},
       export_events},
      {"ledger backup",
       {garden, {.name = "to", .placeholder = "FILE"}},
       {"leafturn ledger backup --garden my-garden", "leafturn ledger backup --garden my-garden --to ledger-copy.db"},
       backup},
      {"ledger restore",
       {{.name = "file", .placeholder = "FILE", .required = true, .positional = true},
        {.name = "check", .placeholder = ""},
        {.name = "into", .placeholder = "GARDEN"},
        {.name = "head", .placeholder = "HEAD"}},
       {"leafturn ledger restore ledger-copy.db --check", "leafturn ledger restore ledger-copy.db --into my-garden-again"},
       restore},
      {"ledger import",
       {{.name = "file", .placeholder = "FILE", .required = true, .positional = true}, garden, {.name = "as", .placeholder = "NAME"}},
       {"leafturn ledger import events.jsonl --garden my-garden",
        "leafturn ledger import events.jsonl --garden another-garden --as \"garden by the mill\""},
       import_events},
      {"ledger guests", {garden}, {"leafturn ledger guests --garden another-garden"}, guests},
      {"doctor", {garden, {.name = "backups", .placeholder = "FOLDER"}}, {"leafturn doctor --garden my-garden"}, doctor},
      {"phone-file",
       {{.name = "file", .placeholder = "FILE", .required = true, .positional = true}, garden, {.name = "receipts", .placeholder = "FILE"}},
       {"leafturn phone-file demo/phone.jsonl --garden my-garden --receipts for-the-phone.jsonl"},
       phone_file},
  };
}

}  // namespace leafturn::cli
