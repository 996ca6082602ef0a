#include "paper/pdf.hpp"

#include <cairo-pdf.h>

#include <numbers>

#include "paper/flow.hpp"

namespace leafturn::paper {
namespace {

struct FreeSurface {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
struct FreePen {
  void operator()(cairo_t* pen) const { cairo_destroy(pen); }
};
struct FreeOptions {
  void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};

cairo_status_t keep(void* into, const unsigned char* bytes, unsigned int size) {
  static_cast<std::string*>(into)->append(static_cast<const char*>(static_cast<const void*>(bytes)), size);
  return CAIRO_STATUS_SUCCESS;
}

void dip(cairo_t* pen, Ink ink) {
  switch (ink) {
    case Ink::dark:
      return cairo_set_source_rgb(pen, 0.10, 0.13, 0.10);
    case Ink::quiet:
      return cairo_set_source_rgb(pen, 0.33, 0.36, 0.32);
    case Ink::rule:
      return cairo_set_source_rgb(pen, 0.68, 0.67, 0.61);
    case Ink::shade:
      return cairo_set_source_rgb(pen, 0.945, 0.935, 0.90);
  }
}

void tick(cairo_t* pen, double x, double y, double s) {
  cairo_move_to(pen, x + 0.28 * s, y + 0.52 * s);
  cairo_line_to(pen, x + 0.44 * s, y + 0.68 * s);
  cairo_line_to(pen, x + 0.73 * s, y + 0.34 * s);
}
void stroke(cairo_t* pen, double width) {
  cairo_set_line_width(pen, width);
  cairo_set_line_cap(pen, CAIRO_LINE_CAP_ROUND);
  cairo_stroke(pen);
}

// Shapes that differ without colour: an open ring with a tick, a full disc with a white bar, a square with a question's hook.
void draw(cairo_t* pen, const PlacedMark& m) {
  const double s = m.size, mid_x = m.x + s / 2, mid_y = m.y + s / 2;
  dip(pen, Ink::dark);
  cairo_new_path(pen);
  switch (m.mark) {
    case Mark::none:
      return;
    case Mark::yes:
      cairo_arc(pen, mid_x, mid_y, s * 0.46, 0, 2 * std::numbers::pi);
      stroke(pen, s * 0.06);
      tick(pen, m.x, m.y, s);
      return stroke(pen, s * 0.11);
    case Mark::no:
      cairo_arc(pen, mid_x, mid_y, s * 0.48, 0, 2 * std::numbers::pi);
      cairo_fill(pen);
      cairo_set_source_rgb(pen, 1, 1, 1);
      cairo_rectangle(pen, m.x + 0.2 * s, mid_y - 0.09 * s, 0.6 * s, 0.18 * s);
      return cairo_fill(pen);
    case Mark::unknown:
      cairo_rectangle(pen, m.x + 0.06 * s, m.y + 0.06 * s, 0.88 * s, 0.88 * s);
      stroke(pen, s * 0.06);
      cairo_arc(pen, mid_x, m.y + 0.38 * s, s * 0.15, std::numbers::pi, std::numbers::pi * 0.45);
      cairo_line_to(pen, mid_x, m.y + 0.62 * s);
      stroke(pen, s * 0.09);
      cairo_arc(pen, mid_x, m.y + 0.77 * s, s * 0.055, 0, 2 * std::numbers::pi);
      return cairo_fill(pen);
    case Mark::box:
      cairo_rectangle(pen, m.x + 0.1 * s, m.y + 0.1 * s, 0.8 * s, 0.8 * s);
      return stroke(pen, s * 0.07);
  }
}

void draw(cairo_t* pen, const Page& page) {
  for (const PlacedBar& bar : page.bars) {
    dip(pen, bar.ink);
    cairo_rectangle(pen, bar.x, bar.y, bar.width, bar.height);
    cairo_fill(pen);
  }
  for (const PlacedLine& line : page.lines) {
    dip(pen, line.ink);
    cairo_move_to(pen, line.x, line.baseline);
    pango_cairo_show_layout_line(pen, line.text->lines()[line.line].line);
  }
  for (const PlacedMark& mark : page.marks) draw(pen, mark);
}

bool any_font(PangoFontMap* map) {
  PangoFontFamily** families = nullptr;
  int count = 0;
  pango_font_map_list_families(map, &families, &count);
  g_free(families);
  return count > 0;
}

}  // namespace

std::optional<Format> parse_format(std::string_view word) {
  for (const Format format : {Format::a4, Format::letter})
    if (word_for(format) == word) return format;
  return std::nullopt;
}

std::string_view word_for(Format format) { return format == Format::a4 ? "a4" : "letter"; }

Result<std::string> pdf(const Document& document, Format format) {
  // A map of fonts of one's own per call: Pango's are for one thread.
  const Held<PangoFontMap> map{pango_cairo_font_map_new()};
  if (!any_font(map.get())) return fail("paper.no_font", {}, {}, ErrorKind::cannot);
  const Held<PangoContext> context{pango_font_map_create_context(map.get())};
  // Letters as they are drawn, whatever this computer's screen would make of them.
  const std::unique_ptr<cairo_font_options_t, FreeOptions> options{cairo_font_options_create()};
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(context.get(), options.get());
  pango_context_set_round_glyph_positions(context.get(), FALSE);
  const std::vector<Page> pages = lay_out(document, format, context.get());

  std::string bytes;
  const Size size = size_of(format);
  const std::unique_ptr<cairo_surface_t, FreeSurface> surface{cairo_pdf_surface_create_for_stream(keep, &bytes, size.width, size.height)};
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, document.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "leafturn");
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, document.made.iso_utc().c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_MOD_DATE, document.made.iso_utc().c_str());
  const std::unique_ptr<cairo_t, FreePen> pen{cairo_create(surface.get())};
  for (const Page& page : pages) {
    draw(pen.get(), page);
    cairo_show_page(pen.get());
  }
  cairo_surface_finish(surface.get());
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return fail("paper.cannot_draw", {}, {}, ErrorKind::cannot);
  return bytes;
}

}  // namespace leafturn::paper
