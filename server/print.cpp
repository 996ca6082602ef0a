/// Sheets and records, to print and to keep: PDF, CSV, and the records as JSON.
#include "render/print.hpp"
#include "app/brief.hpp"
#include "paper/pdf.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {
namespace {

std::string text_of(const Request& request, const char* name) {
  const auto* given = request.asked(name);
  return given == nullptr ? std::string{} : *given;
}
std::optional<std::string> maybe_of(const Request& request, const char* name) {
  const auto* given = request.asked(name);
  return given == nullptr || given->empty() ? std::nullopt : std::optional(*given);
}

/// Shown in the browser, saved under a name that says what it is.
Response file(std::string type, std::string body, const std::string& name, const char* how) {
  Response response;
  response.type = std::move(type);
  response.body = std::move(body);
  response.headers["Content-Disposition"] = std::string(how) + "; filename=\"" + name + "\"";
  response.headers["Cache-Control"] = "no-store";
  return response;
}

Response pdf_of(const paper::Document& document, const Request& request, const Asked& asked, const std::string& name) {
  const std::string word = maybe_of(request, "paper").value_or(asked.style.units == garden::Units::us ? "letter" : "a4");
  const auto format = paper::parse_format(word);
  if (!format) return error_response({"print.paper", {{}, 0, "paper"}, {{"given", word}}, ErrorKind::bad_input}, request);
  auto bytes = paper::pdf(document, *format);
  if (!bytes) return error_response(bytes.error(), request);
  return file("application/pdf", std::move(*bytes), name + ".pdf", "inline");
}

/// Asks a use case, then shows its answer; an error of either in the API's shape.
template <class Ask, class Show>
Response answered(Site& site, const Request& request, const Ask& ask, const Show& show) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto answer = ask(*asked);
  if (!answer) return error_response(answer.error(), request);
  return show(*answer, *asked);
}

Result<app::RecordsAnswer> records_of(Site& site, const Request& request, const Asked& asked) {
  return app::records(site.garden, site.access,
                      {maybe_of(request, "for").value_or("all"), maybe_of(request, "from"), maybe_of(request, "until"), asked.at},
                      asked.now);
}
Result<app::LogAnswer> log_of(Site& site, const Request& request, const Asked& asked) {
  return app::garden_log(site.garden, site.access,
                         {text_of(request, "of"), maybe_of(request, "from"), maybe_of(request, "until"), asked.at}, asked.now);
}

/// `1|2|3`: names of beds may hold anything but this bar.
std::vector<std::string> beds_of(const std::string& text) {
  std::vector<std::string> beds;
  for (std::size_t from = 0; from <= text.size() && !text.empty();) {
    const std::size_t to = std::min(text.find('|', from), text.size());
    if (to > from) beds.push_back(text.substr(from, to - from));
    from = to + 1;
  }
  return beds;
}

template <class Draw>
Response of_brief(Site& site, const Request& request, const char* name, const Draw& draw) {
  return answered(
      site, request, [&](const Asked& asked) { return site.briefs.get(site.garden, asked.at, asked.now); },
      [&](const auto& brief, const Asked& asked) {
        const auto stamp = app::stamp_of(site.garden, brief->garden, brief->brief.at);
        if (!stamp) return error_response(stamp.error(), request);
        return pdf_of(draw(*brief, *stamp, asked.style), request, asked, name);
      });
}

}  // namespace

Response get_records(Site& site, const Request& request) {
  return answered(
      site, request, [&](const Asked& asked) { return records_of(site, request, asked); },
      [&](const app::RecordsAnswer& answer, const Asked& asked) {
        Response response;
        response.body = render::records_json(answer, asked.style);
        return response;
      });
}

Response get_records_pdf(Site& site, const Request& request) {
  return answered(
      site, request, [&](const Asked& asked) { return records_of(site, request, asked); },
      [&](const app::RecordsAnswer& answer, const Asked& asked) {
        return pdf_of(render::records_document(answer, asked.style), request, asked, "records");
      });
}

Response get_records_csv(Site& site, const Request& request) {
  return answered(
      site, request, [&](const Asked& asked) { return records_of(site, request, asked); },
      [&](const app::RecordsAnswer& answer, const Asked& asked) {
        return file("text/csv; charset=utf-8", render::records_csv(answer, asked.style), "records.csv", "attachment");
      });
}

Response get_log_pdf(Site& site, const Request& request) {
  return answered(
      site, request, [&](const Asked& asked) { return log_of(site, request, asked); },
      [&](const app::LogAnswer& answer, const Asked& asked) {
        return pdf_of(render::log_document(answer, asked.style), request, asked, "log-" + answer.of);
      });
}

Response get_log_csv(Site& site, const Request& request) {
  return answered(
      site, request, [&](const Asked& asked) { return log_of(site, request, asked); },
      [&](const app::LogAnswer& answer, const Asked& asked) {
        return file("text/csv; charset=utf-8", render::log_csv(answer, asked.style), "log-" + answer.of + ".csv", "attachment");
      });
}

Response get_sign_pdf(Site& site, const Request& request) {
  return answered(
      site, request, [&](const Asked& asked) { return app::signs(site.garden, {text_of(request, "bed"), asked.at}, asked.now); },
      [&](const app::SignsAnswer& answer, const Asked& asked) {
        return pdf_of(render::signs_document(answer, asked.style), request, asked, "sign");
      });
}

Response get_worksheet_pdf(Site& site, const Request& request) {
  return answered(
      site, request,
      [&](const Asked& asked) {
        app::WorksheetQuestion question;
        question.beds = beds_of(text_of(request, "beds"));
        question.product = text_of(request, "product");
        question.rate = text_of(request, "rate");
        question.equipment = text_of(request, "equipment");
        question.nozzle = text_of(request, "nozzle");
        question.by = text_of(request, "by");
        question.water_ph = maybe_of(request, "water_ph");
        question.hours = maybe_of(request, "hours");
        question.at = asked.at;
        return app::worksheet(site.garden, site.access, question, asked.now);
      },
      [&](const app::WorksheetAnswer& answer, const Asked& asked) {
        return pdf_of(render::worksheet_document(answer, asked.style), request, asked, "worksheet");
      });
}

Response get_board_pdf(Site& site, const Request& request) { return of_brief(site, request, "board", render::board_document); }
Response get_calendar_pdf(Site& site, const Request& request) { return of_brief(site, request, "calendar", render::calendar_document); }

Response get_crew_pdf(Site& site, const Request& request) {
  return answered(
      site, request,
      [&](const Asked& asked) -> Result<app::CrewAnswer> {
        const auto brief = site.briefs.get(site.garden, asked.at, asked.now);
        if (!brief) return fail(brief.error());
        return app::crew(site.garden, site.access, **brief);
      },
      [&](const app::CrewAnswer& answer, const Asked& asked) {
        return pdf_of(render::crew_document(answer, asked.style), request, asked, "crew");
      });
}

}  // namespace leafturn::server
