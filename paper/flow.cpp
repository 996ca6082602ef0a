#include "paper/flow.hpp"

#include <algorithm>
#include <numeric>

namespace leafturn::paper {
namespace {

constexpr double margin = 45.0;
constexpr double foot = 34.0;  // kept free above the bottom margin
constexpr double cell_gap = 6.0;
constexpr double row_pad = 2.6;

using Text = std::shared_ptr<const Shaped>;

std::string replaced(std::string text, std::string_view what, int number) {
  if (const auto at = text.find(what); at != std::string::npos) text.replace(at, what.size(), std::to_string(number));
  return text;
}

Ink ink_of(Tone tone) { return tone == Tone::quiet || tone == Tone::small ? Ink::quiet : Ink::dark; }

/// A part of a row: text at a place, in its ink, with a mark before it.
struct Piece {
  Text text;
  double x = 0.0;
  Ink ink = Ink::dark;
  Mark mark = Mark::none;
  double mark_x = 0.0, mark_size = 0.0;
  std::size_t done = 0;  // lines placed
};

class Flow {
 public:
  Flow(const Document& document, Format format, PangoContext* context)
      : document_{document}, size_{size_of(format)}, context_{context}, width_{size_.width - 2 * margin} {}

  std::vector<Page> run() {
    fresh_page();
    head();
    for (const Block& block : document_.blocks) std::visit([this](const auto& one) { take(one); }, block);
    feet();
    return std::move(pages_);
  }

 private:
  Text shape(const std::string& text, double width, const Face& face) const {
    return std::make_shared<const Shaped>(context_, text, std::max(width, 8.0), face);
  }
  double bottom() const { return size_.height - margin - foot; }
  double body_height() const { return bottom() - margin; }
  bool at_top() const { return y_ <= margin + 1.0; }
  Page& page() { return pages_.back(); }
  void fresh_page() {
    pages_.emplace_back();
    y_ = margin;
  }
  void room_for(double height) {
    if (y_ + height > bottom() && !at_top()) fresh_page();
  }
  void bar(double height, Ink ink) { page().bars.push_back({margin, y_, width_, height, ink}); }
  void place(const Text& text, double x, double y, Ink ink) {
    for (std::size_t i = 0; i < text->lines().size(); ++i) {
      const auto& line = text->lines()[i];
      page().lines.push_back({text, i, x + line.x, y + line.ascent, ink});
      y += line.height;
    }
  }

  void head() {
    const Text corner = shape(document_.corner, width_ * 0.3, {8.5, true});
    const Text title = shape(document_.title, width_ * 0.68, {19.0, true, true});
    place(title, margin, y_, Ink::dark);
    if (!document_.corner.empty()) place(corner, margin + width_ - corner->widest(), y_ + 6.0, Ink::dark);
    y_ += title->height() + 1.0;
    if (!document_.subtitle.empty()) {
      const Text under = shape(document_.subtitle, width_, {9.0});
      place(under, margin, y_, Ink::quiet);
      y_ += under->height();
    }
    y_ += 5.0;
    bar(1.4, Ink::dark);
    y_ += 9.0;
  }

  void feet() {
    const int all = static_cast<int>(pages_.size());
    for (int n = 1; n <= all; ++n) {
      Page& one = pages_[static_cast<std::size_t>(n - 1)];
      const double top = size_.height - margin - foot + 8.0;
      const Text number = shape(replaced(replaced(document_.page_words, "{n}", n), "{m}", all), width_, {7.5});
      const Text words = shape(document_.footer, width_ - number->widest() - 16.0, {7.0});
      one.bars.push_back({margin, top, width_, 0.5, Ink::rule});
      const auto put = [&](const Text& text, double x) {
        double y = top + 4.0;
        for (std::size_t i = 0; i < text->lines().size(); ++i) {
          one.lines.push_back({text, i, x + text->lines()[i].x, y + text->lines()[i].ascent, Ink::quiet});
          y += text->lines()[i].height;
        }
      };
      put(words, margin);
      put(number, margin + width_ - number->widest());
    }
  }

  /// Pieces side by side as far as they fit, the rest on the next page. `again` draws what a new page begins with.
  template <class Again>
  void row(std::vector<Piece> pieces, double pad, const Again& again) {
    const auto height_from = [](const Piece& p) {
      double sum = 0.0;
      for (std::size_t i = p.done; i < p.text->lines().size(); ++i) sum += p.text->lines()[i].height;
      return std::max(sum, p.done == 0 ? p.mark_size : 0.0);
    };
    const auto tallest = [&] {
      double most = 0.0;
      for (const Piece& p : pieces) most = std::max(most, height_from(p));
      return most + 2 * pad;
    };
    // A row is kept whole where a page can hold it.
    if (y_ + tallest() > bottom() && !at_top() && tallest() < body_height() * 0.8) {
      fresh_page();
      again();
    }
    for (;;) {
      const double top = y_ + pad;
      double end = top;
      bool all = true;
      for (Piece& p : pieces) {
        double y = top;
        if (p.done == 0 && p.mark != Mark::none) page().marks.push_back({p.mark, p.mark_x, y, p.mark_size});
        for (; p.done < p.text->lines().size(); ++p.done) {
          const auto& line = p.text->lines()[p.done];
          if (y + line.height > bottom() && y > top) break;
          page().lines.push_back({p.text, p.done, p.x + line.x, y + line.ascent, p.ink});
          y += line.height;
        }
        all = all && p.done == p.text->lines().size();
        end = std::max(end, std::max(y, top + (p.mark == Mark::none ? 0.0 : p.mark_size)));
      }
      y_ = end + pad;
      if (all) return;
      fresh_page();
      again();
    }
  }

  void take(const Heading& h) {
    const double size = h.level == 1 ? 14.0 : h.level == 2 ? 11.0 : 9.5;
    const Text beside = shape(h.beside, width_ * 0.4, {8.0});
    const Text text = shape(h.text, width_ - (h.beside.empty() ? 0.0 : beside->widest() + 10.0), {size, true, h.level < 3});
    if (!at_top()) y_ += h.level == 1 ? 12.0 : 8.0;
    // Never alone at the foot of a page.
    room_for(text->height() + 56.0);
    place(text, margin, y_, Ink::dark);
    if (!h.beside.empty()) place(beside, margin + width_ - beside->widest(), y_ + size - 8.0, Ink::quiet);
    y_ += text->height() + 3.0;
  }

  void take(const Paragraph& p) {
    const double size = p.tone == Tone::small ? 8.0 : 9.5;
    const double mark = p.mark == Mark::none ? 0.0 : size + 1.5;
    const double indent = p.mark == Mark::none ? 0.0 : mark + 5.0;
    Piece piece{shape(p.text, width_ - indent, {size, p.tone == Tone::strong, false, p.tone == Tone::quiet}), margin + indent,
                ink_of(p.tone)};
    piece.mark = p.mark;
    piece.mark_x = margin;
    piece.mark_size = mark;
    row({piece}, 1.6, [] {});
  }

  void take(const Pairs& all) {
    const int columns = std::max(all.columns, 1);
    const double each = (width_ - cell_gap * 2 * (columns - 1)) / columns;
    for (std::size_t i = 0; i < all.pairs.size(); i += static_cast<std::size_t>(columns)) {
      std::vector<Piece> pieces;
      for (std::size_t j = i; j < std::min(all.pairs.size(), i + static_cast<std::size_t>(columns)); ++j) {
        const Pair& pair = all.pairs[j];
        const double x = margin + static_cast<double>(j - i) * (each + cell_gap * 2);
        const double label = each * 0.38;
        pieces.push_back({shape(pair.label, label - cell_gap, {8.0}), x, Ink::quiet});
        pieces.push_back(
            {shape(pair.value, each - label, {8.5, !pair.quiet, false, pair.quiet}), x + label, pair.quiet ? Ink::quiet : Ink::dark});
      }
      row(std::move(pieces), 1.3, [] {});
    }
  }

  void take(const Table& table) {
    double shares = 0.0;
    for (const Column& column : table.columns) shares += column.share;
    std::vector<double> at, wide;
    double x = margin;
    for (const Column& column : table.columns) {
      const double whole = width_ * column.share / shares;
      at.push_back(x);
      wide.push_back(whole - cell_gap);
      x += whole;
    }
    const auto headings = [&] {
      std::vector<Piece> pieces;
      double most = 0.0;
      for (std::size_t i = 0; i < table.columns.size(); ++i) {
        pieces.push_back({shape(table.columns[i].heading, wide[i], {std::max(table.size - 1.0, 7.5), true}), at[i], Ink::dark});
        most = std::max(most, pieces.back().text->height());
      }
      bar(most + 2 * row_pad, Ink::shade);
      row(std::move(pieces), row_pad, [] {});
      bar(0.8, Ink::dark);
    };
    room_for(table.size * 6.0);
    headings();
    for (const auto& cells : table.rows) {
      std::vector<Piece> pieces;
      for (std::size_t i = 0; i < std::min(cells.size(), at.size()); ++i) {
        const Cell& cell = cells[i];
        const double mark = cell.mark == Mark::none ? 0.0 : table.size + 1.5;
        const double indent = cell.mark == Mark::none ? 0.0 : mark + 4.0;
        const Face face{cell.tone == Tone::small ? table.size - 1.0 : table.size, cell.tone == Tone::strong, false,
                        cell.tone == Tone::quiet};
        Piece piece{shape(cell.text, wide[i] - indent, face), at[i] + indent, ink_of(cell.tone)};
        piece.mark = cell.mark;
        piece.mark_x = at[i];
        piece.mark_size = mark;
        pieces.push_back(std::move(piece));
      }
      row(std::move(pieces), row_pad, headings);
      bar(0.4, Ink::rule);
    }
    y_ += 5.0;
  }

  void take(const Banner& banner) {
    const double tall = banner.mark == Mark::none ? 0.0 : banner.size * 3.0;
    Text text = shape(banner.text, width_, {banner.size, true, true, false, true});
    for (double size = banner.size; size > 14.0 && text->lines().size() > 2; size -= 2.0)
      text = shape(banner.text, width_, {size, true, true, false, true});
    room_for(tall + text->height() + 10.0);
    if (tall > 0.0) {
      page().marks.push_back({banner.mark, margin + (width_ - tall) / 2.0, y_ + 4.0, tall});
      y_ += tall + 10.0;
    }
    place(text, margin, y_, Ink::dark);
    y_ += text->height() + 6.0;
  }

  void take(const Line&) {
    y_ += 4.0;
    room_for(8.0);
    bar(0.6, Ink::rule);
    y_ += 6.0;
  }
  void take(const PageBreak&) {
    if (!at_top()) fresh_page();
  }

  const Document& document_;
  Size size_;
  PangoContext* context_;
  double width_;
  double y_ = margin;
  std::vector<Page> pages_;
};

}  // namespace

Size size_of(Format format) { return format == Format::a4 ? Size{595.276, 841.89} : Size{612.0, 792.0}; }

std::vector<Page> lay_out(const Document& document, Format format, PangoContext* context) { return Flow(document, format, context).run(); }

}  // namespace leafturn::paper
