#pragma once
/// A document broken into pages: where each line of text, rule and mark lies.

#include <memory>
#include <vector>

#include "paper/document.hpp"
#include "paper/shape.hpp"

namespace leafturn::paper {

/// Points; 72 are an inch.
struct Size {
  double width = 0.0, height = 0.0;
};
Size size_of(Format format);

enum class Ink { dark, quiet, rule, shade };

struct PlacedLine {
  std::shared_ptr<const Shaped> text;
  std::size_t line = 0;
  double x = 0.0, baseline = 0.0;
  Ink ink = Ink::dark;
};
struct PlacedBar {
  double x = 0.0, y = 0.0, width = 0.0, height = 0.0;
  Ink ink = Ink::rule;
};
struct PlacedMark {
  Mark mark = Mark::none;
  double x = 0.0, y = 0.0, size = 0.0;
};
struct Page {
  std::vector<PlacedBar> bars;  ///< under everything else
  std::vector<PlacedLine> lines;
  std::vector<PlacedMark> marks;
};

std::vector<Page> lay_out(const Document& document, Format format, PangoContext* context);

}  // namespace leafturn::paper
