#include "cli/printing.hpp"

#include "app/file_text.hpp"
#include "paper/pdf.hpp"
#include "render/print.hpp"

namespace leafturn::cli {

Result<Answer> printed(const Printable& printable, const Arguments& given, const Context& context) {
  const std::string word = given.maybe("paper").value_or(context.style.units == garden::Units::us ? "letter" : "a4");
  const auto format = paper::parse_format(word);
  if (!format) return fail("print.paper", {{}, 0, "--paper"}, {{"given", word}});
  const auto pdf_file = given.maybe("pdf"), csv_file = given.maybe("csv");
  for (const auto& file : {pdf_file, csv_file})
    if (file)
      if (const auto free = app::must_not_exist(*file); !free) return fail(free.error());
  if (pdf_file) {
    const auto bytes = paper::pdf(printable.document, *format);
    if (!bytes) return fail(bytes.error());
    if (const auto wrote = app::write_new_file(*pdf_file, *bytes); !wrote) return fail(wrote.error());
  }
  if (csv_file)
    if (const auto wrote = app::write_new_file(*csv_file, printable.csv); !wrote) return fail(wrote.error());
  if (context.json) return Answer{printable.json};
  if (pdf_file || csv_file) {
    std::string said;
    for (const auto& file : {pdf_file, csv_file})
      if (file) said += words::say({"print.written", {{"file", *file}}}, context.style) + "\n";
    return Answer{said};
  }
  return Answer{render::document_text(printable.document)};
}

}  // namespace leafturn::cli
