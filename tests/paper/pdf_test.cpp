// Pages as another program reads them: poppler's pdftotext and pdfinfo.
#include "paper/pdf.hpp"

#include <gtest/gtest.h>

#include <fstream>

#include "tests/support/data.hpp"

namespace leafturn::paper {
namespace {

Document long_one() {
  Document d;
  d.title = "Registro de aplicaciones";
  d.subtitle = "Jardín inventado · 2026-06-11";
  d.corner = "invented";
  d.footer = "Chain head 0123";
  d.page_words = "page {n} of {m}";
  d.made = Instant::parse("2026-06-11T12:00Z").value();
  d.blocks.push_back(Heading{2, "Ñandú, cigüeña, ¿qué?"});
  d.blocks.push_back(Pairs{{{"Product", "Demo Oil One"}, {"Amount", "not recorded", true}}});
  Table table{{{"Bed", 1.0}, {"Answer", 2.0}, {"Why", 4.0}}, {}};
  for (int i = 1; i <= 80; ++i)
    table.rows.push_back(
        {{"bed " + std::to_string(i), Tone::strong}, {"no", Tone::plain, Mark::no}, {"until Friday, because of row " + std::to_string(i)}});
  d.blocks.push_back(std::move(table));
  d.blocks.push_back(Banner{"DO NOT ENTER", 48.0, Mark::no});
  return d;
}

struct Read {
  std::string text, info;
};
Read read(const std::string& bytes, const std::string& name) {
  const std::string file = test::fresh_folder(name) + "/page.pdf";
  std::ofstream(file, std::ios::binary) << bytes;
  return {test::run_program("/usr/bin/pdftotext", {"-layout", file, "-"}).out, test::run_program("/usr/bin/pdfinfo", {file}).out};
}
int times(const std::string& text, const std::string& what) {
  int n = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
  return n;
}

TEST(Pdf, says_all_of_it_on_both_papers_with_the_headings_on_every_page) {
  for (const Format format : {Format::a4, Format::letter}) {
    const auto bytes = pdf(long_one(), format);
    ASSERT_TRUE(bytes);
    const Read page = read(*bytes, std::string("pdf-") + std::string(word_for(format)));
    EXPECT_NE(page.text.find("Ñandú, cigüeña, ¿qué?"), std::string::npos) << page.text;
    for (int i = 1; i <= 80; ++i) EXPECT_NE(page.text.find("because of row " + std::to_string(i)), std::string::npos) << i;
    EXPECT_NE(page.text.find("DO NOT ENTER"), std::string::npos);
    EXPECT_NE(page.text.find("not recorded"), std::string::npos);
    const int pages = times(page.text, "Chain head 0123");
    EXPECT_GE(pages, 2);
    EXPECT_NE(page.text.find("page 1 of " + std::to_string(pages)), std::string::npos);
    EXPECT_GE(times(page.text, "Answer"), 2) << "the headings come again";
    EXPECT_NE(page.info.find(format == Format::a4 ? "595.276 x 841.89" : "612 x 792"), std::string::npos) << page.info;
  }
}

TEST(Pdf, same_document_same_bytes) {
  const auto once = pdf(long_one(), Format::a4), again = pdf(long_one(), Format::a4);
  ASSERT_TRUE(once && again);
  EXPECT_EQ(*once, *again);
}

TEST(Pdf, a_cell_longer_than_a_page_goes_on_and_loses_nothing) {
  Document d;
  d.title = "t";
  std::string words;
  for (int i = 0; i < 3000; ++i) words += "word" + std::to_string(i) + " ";
  d.blocks.push_back(Table{{{"A", 1.0}, {"B", 1.0}}, {{{words}, {"beside"}}}});
  const auto bytes = pdf(d, Format::letter);
  ASSERT_TRUE(bytes);
  const std::string text = read(*bytes, "pdf-long-cell").text;
  for (int i = 0; i < 3000; ++i) ASSERT_NE(text.find("word" + std::to_string(i)), std::string::npos) << i;
}

TEST(Pdf, a_word_wider_than_the_page_is_broken_not_cut) {
  Document d;
  d.title = "t";
  const std::string digest(300, 'f');
  d.blocks.push_back(Paragraph{digest});
  const auto bytes = pdf(d, Format::a4);
  ASSERT_TRUE(bytes);
  const std::string text = read(*bytes, "pdf-long-word").text;
  EXPECT_EQ(times(text, "f"), 300) << text;
}

TEST(Format, words) {
  EXPECT_EQ(parse_format("a4"), Format::a4);
  EXPECT_EQ(parse_format("letter"), Format::letter);
  EXPECT_FALSE(parse_format("legal"));
}

}  // namespace
}  // namespace leafturn::paper
