#include <cstdio>
#include <string>

#include "app/ask_time.hpp"
#include "app/brief.hpp"
#include "app/import_garden.hpp"
#include "app/outlook.hpp"
#include "cli/groups.hpp"
#include "render/brief.hpp"
#include "render/ledger.hpp"
#include "render/outlook.hpp"
#include "server/serve.hpp"

namespace leafturn::cli {
namespace {

Result<Answer> brief(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto at = app::asked_time(**garden, given.maybe("at"), given.maybe("zone"));
  if (!at) return fail(at.error());
  const auto answer = app::brief(**garden, *at, context.now);
  if (!answer) return fail(answer.error());
  words::Style style = context.style;
  style.units = answer->units;
  return Answer{context.json ? render::brief_json(*answer, (*garden)->library(), style)
                             : render::brief_text(*answer, (*garden)->library(), style)};
}

Result<Answer> outlook(const Arguments& given, const Context& context) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  app::OutlookQuestion question;
  const auto at = app::asked_time(**garden, given.maybe("at"), given.maybe("zone"));
  if (!at) return fail(at.error());
  question.at = *at;
  const auto days = app::parse_days_ahead(given.maybe("days"), "--days");
  if (!days) return fail(days.error());
  question.days = *days;
  question.asks = given.maybe("ask");
  const auto answer = app::outlook(**garden, question, context.now);
  if (!answer) return fail(answer.error());
  words::Style style = context.style;
  style.units = answer->units;
  return Answer{context.json ? render::outlook_json(*answer, style) : render::outlook_text(*answer, style),
                remarks_of(answer->ask_notes, given.text("ask"), context)};
}

Result<Answer> imported(const Result<app::ImportReport>& report, const std::string& folder, const Context& context) {
  if (!report) return fail(report.error());
  return Answer{context.json ? render::garden_import_json(*report, folder, context.style)
                             : render::garden_import_text(*report, folder, context.style),
                remarks_of(report->notes, folder, context)};
}

Result<Answer> demo(const Arguments& given, const Context& context) {
  const std::string folder = given.text("dir");
  return imported(app::make_demo(folder, context.now), folder, context);
}

Result<Answer> import(const Arguments& given, const Context& context) {
  const std::string folder = given.text("into");
  return imported(app::import_garden(given.text("dir"), folder, context.now), folder, context);
}

/// Says where the pages are while they are served, because it returns only when they no longer are.
void say_ready(const server::Serving& serving, const Context& context) {
  const std::string port = std::to_string(serving.port), address = "http://127.0.0.1:" + port + "/";
  std::string lines;
  if (context.json) {
    lines = R"({"port":)" + port + R"(,"url":")" + address + "\"";
    if (serving.secure_port > 0)
      lines += R"(,"secure_port":)" + std::to_string(serving.secure_port) + R"(,"name":")" + serving.name + R"(","fingerprint":")" +
               serving.fingerprint + "\"";
    lines += "}\n";
  } else {
    lines = words::say({"cli.serving", {{"address", address}}}, context.style) + "\n";
    if (serving.secure_port > 0) {
      const std::vector<Fact> facts{{"guide", "http://" + serving.name + ":" + port + "/phone"},
                                    {"address", "https://" + serving.name + ":" + std::to_string(serving.secure_port) + "/"},
                                    {"fingerprint", serving.fingerprint}};
      lines += words::say({"cli.serving_phones", facts}, context.style) + "\n";
    }
    for (const auto& outside : serving.outside) lines += words::say({"cli.serving_outside", {{"address", outside}}}, context.style) + "\n";
  }
  std::fputs(lines.c_str(), stdout);
  std::fflush(stdout);
}

Result<Answer> serve(const Arguments& given, const Context& context) {
  server::ServeOptions options;
  options.folder = given.text("garden");
  const auto port = app::parse_port(given.maybe("port"));
  if (!port) return fail(port.error());
  options.port = *port;
  if (given.has("lan")) {
    const auto secure_port = app::parse_port(given.maybe("lan-port"), 8443, "--lan-port");
    if (!secure_port) return fail(secure_port.error());
    options.lan = server::LanOptions{*secure_port, given.has("plain")};
  }
  options.name = given.text("name");
  options.proxy = given.maybe("proxy");
  options.log = given.has("log");
  options.ready = [&](const server::Serving& serving) { say_ready(serving, context); };
  if (const auto served = server::serve(options); !served) return fail(served.error());
  return Answer{};
}

}  // namespace

std::vector<Command> garden_commands() {
  return {
      {"demo", {{.name = "dir", .placeholder = "DIR", .required = true, .positional = true}}, {"leafturn demo my-garden"}, demo},
      {"brief",
       {{.name = "garden", .placeholder = "GARDEN", .required = true},
        {.name = "at", .placeholder = "TIME"},
        {.name = "zone", .placeholder = "ZONE"}},
       {"leafturn brief --garden my-garden"},
       brief},
      {"outlook",
       {{.name = "garden", .placeholder = "GARDEN", .required = true},
        {.name = "at", .placeholder = "TIME"},
        {.name = "zone", .placeholder = "ZONE"},
        {.name = "days", .placeholder = "N"},
        {.name = "ask", .placeholder = "ASKS"}},
       {"leafturn outlook --garden my-garden --days 14", "leafturn outlook --garden my-garden --ask demo/asks.tsv --json"},
       outlook},
      {"serve",
       {{.name = "garden", .placeholder = "GARDEN", .required = true},
        {.name = "port", .placeholder = "N"},
        {.name = "lan", .placeholder = ""},
        {.name = "lan-port", .placeholder = "N"},
        {.name = "name", .placeholder = "NAME"},
        {.name = "plain", .placeholder = ""},
        {.name = "proxy", .placeholder = "ADDRESS"},
        {.name = "log", .placeholder = ""}},
       {"leafturn serve --garden my-garden --port 8080", "leafturn serve --garden my-garden --lan --name shed.local"},
       serve},
      {"garden import",
       {{.name = "dir", .placeholder = "DIR", .required = true, .positional = true},
        {.name = "into", .placeholder = "GARDEN", .required = true}},
       {"leafturn garden import demo --into imported-garden"},
       import},
  };
}

}  // namespace leafturn::cli
