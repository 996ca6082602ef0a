#include "paper/shape.hpp"

#include <algorithm>

namespace leafturn::paper {
namespace {

struct FreeFont {
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
struct FreeIter {
  void operator()(PangoLayoutIter* iter) const { pango_layout_iter_free(iter); }
};
struct FreeAttributes {
  void operator()(PangoAttrList* attributes) const { pango_attr_list_unref(attributes); }
};

double points(int units) { return static_cast<double>(units) / PANGO_SCALE; }

}  // namespace

Shaped::Shaped(PangoContext* context, const std::string& text, double width, const Face& face) : layout_{pango_layout_new(context)} {
  const std::unique_ptr<PangoFontDescription, FreeFont> font{pango_font_description_new()};
  pango_font_description_set_family(font.get(), face.serif ? "DejaVu Serif, serif" : "DejaVu Sans, sans-serif");
  pango_font_description_set_absolute_size(font.get(), face.size * PANGO_SCALE);
  pango_font_description_set_weight(font.get(), face.strong ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_style(font.get(), face.slanted ? PANGO_STYLE_OBLIQUE : PANGO_STYLE_NORMAL);
  // No hyphens where a long word (a digest) is broken: they would be copied with it.
  const std::unique_ptr<PangoAttrList, FreeAttributes> attributes{pango_attr_list_new()};
  pango_attr_list_insert(attributes.get(), pango_attr_insert_hyphens_new(FALSE));
  pango_layout_set_attributes(layout_.get(), attributes.get());
  pango_layout_set_font_description(layout_.get(), font.get());
  pango_layout_set_width(layout_.get(), static_cast<int>(width * PANGO_SCALE));
  pango_layout_set_wrap(layout_.get(), PANGO_WRAP_WORD_CHAR);
  pango_layout_set_alignment(layout_.get(), face.centred ? PANGO_ALIGN_CENTER : PANGO_ALIGN_LEFT);
  pango_layout_set_line_spacing(layout_.get(), 1.12F);
  pango_layout_set_text(layout_.get(), text.c_str(), static_cast<int>(text.size()));
  const std::unique_ptr<PangoLayoutIter, FreeIter> iter{pango_layout_get_iter(layout_.get())};
  do {
    PangoRectangle logical{};
    pango_layout_iter_get_line_extents(iter.get(), nullptr, &logical);
    const int baseline = pango_layout_iter_get_baseline(iter.get());
    lines_.push_back(
        {pango_layout_iter_get_line_readonly(iter.get()), points(logical.x), points(baseline - logical.y), points(logical.height)});
  } while (pango_layout_iter_next_line(iter.get()));
}

double Shaped::height() const {
  double sum = 0.0;
  for (const Line& line : lines_) sum += line.height;
  return sum;
}

double Shaped::widest() const {
  double most = 0.0;
  for (const Line& line : lines_) {
    PangoRectangle logical{};
    pango_layout_line_get_extents(line.line, nullptr, &logical);
    most = std::max(most, points(logical.width));
  }
  return most;
}

}  // namespace leafturn::paper
