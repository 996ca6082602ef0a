#pragma once
/// What is to be printed, as a plain value: blocks from top to bottom. It knows nothing of gardens, and nothing of pages: pdf() breaks it.

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/base/date.hpp"

namespace leafturn::paper {

enum class Format { a4, letter };
/// `a4`, `letter`.
std::optional<Format> parse_format(std::string_view word);
std::string_view word_for(Format format);

/// Drawn beside words, never instead of them: what can't be told apart in black and white is no answer.
enum class Mark { none, yes, no, unknown, box };
enum class Tone { plain, strong, quiet, small };

struct Heading {
  int level = 1;  ///< 1 a part, 2 a section, 3 a record
  std::string text;
  std::string beside = {};  ///< to the right, quieter
};
struct Paragraph {
  std::string text;
  Tone tone = Tone::plain;
  Mark mark = Mark::none;
};
/// A labelled value. `quiet`: said in another tone, for what isn't there.
struct Pair {
  std::string label, value;
  bool quiet = false;
};
/// Labels and values in so many columns, filled row by row.
struct Pairs {
  std::vector<Pair> pairs;
  int columns = 2;
};
struct Column {
  std::string heading;
  double share = 1.0;  ///< of the width, in proportion
};
struct Cell {
  std::string text;
  Tone tone = Tone::plain;
  Mark mark = Mark::none;
};
/// Its headings stand again on each page it reaches. `size`: of the letters, in points.
struct Table {
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;
  double size = 8.5;
};
/// Letters to be read from a distance, in the middle of the page; a mark above them as high as three lines.
struct Banner {
  std::string text;
  double size = 40.0;  ///< points; less where the longest word is too wide
  Mark mark = Mark::none;
};
struct Line {};  ///< across the page
struct PageBreak {};

using Block = std::variant<Heading, Paragraph, Pairs, Table, Banner, Line, PageBreak>;

struct Document {
  std::string title;
  std::string subtitle;            ///< under it
  std::string corner = {};         ///< right of the title: what this sheet must not be taken for, as 'invented'
  std::string footer;              ///< on every page
  std::string page_words = "{n}";  ///< `{n}` the page, `{m}` of how many
  Instant made;                    ///< the file's date: same document, same bytes
  std::vector<Block> blocks = {};
};

}  // namespace leafturn::paper
