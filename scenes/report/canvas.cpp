// Cairo surfaces as bytes in memory.

#include "scenes/report/canvas.hpp"

#include <cairo-svg.h>
#ifndef CAIRO_HAS_FC_FONT
#include <cairo-ft.h>
#include <ft2build.h>
#include FT_FREETYPE_H

#include "scenes/places.hpp"
#endif

#include <cmath>
#include <memory>
#include <stdexcept>
#include <string_view>

namespace warmbay::scenes {

namespace {

struct Free {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cr) const { cairo_destroy(cr); }
};
using Surface = std::unique_ptr<cairo_surface_t, Free>;
using Context = std::unique_ptr<cairo_t, Free>;

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

void expect(cairo_status_t status) {
  if (status != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error(std::string("drawing: ") + cairo_status_to_string(status));
}

void remove_attribute(std::string& text, std::string_view start) {
  const std::size_t from = text.find(start);
  if (from == std::string::npos) return;
  text.erase(from, text.find('"', from + start.size()) + 1 - from);
}

#ifdef CAIRO_HAS_FC_FONT

void choose_face(cairo_t* cr, bool bold) {
  cairo_select_font_face(cr, "Inter", CAIRO_FONT_SLANT_NORMAL,
                         bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
}

#else

/// A face of the program's own fonts folder, kept to the program's end; nullptr: it is not there.
cairo_font_face_t* face_of(const char* name) {
  static const FT_Library library = [] {
    FT_Library made = nullptr;
    return FT_Init_FreeType(&made) == 0 ? made : nullptr;
  }();
  FT_Face face = nullptr;
  const auto file = find_places().assets / "fonts" / name;
  if (library == nullptr || FT_New_Face(library, file.c_str(), 0, &face) != 0) return nullptr;
  return cairo_ft_font_face_create_for_ft_face(face, 0);
}

/// Where nobody keeps a list of the system's fonts: the two faces that the screen is written in.
void choose_face(cairo_t* cr, bool bold) {
  static cairo_font_face_t* const plain = face_of("Inter-Medium.otf");
  static cairo_font_face_t* const heavy = face_of("Inter-SemiBold.otf");
  if (cairo_font_face_t* const face = bold ? heavy : plain) cairo_set_font_face(cr, face);
}

#endif

void choose_font(cairo_t* cr, double size, bool bold) {
  choose_face(cr, bold);
  cairo_set_font_size(cr, size);
}

}  // namespace

std::string svg_of(double width, double height, const Draw& draw) {
  std::string svg;
  {
    const Surface surface(cairo_svg_surface_create_for_stream(append, &svg, width, height));
    const Context cr(cairo_create(surface.get()));
    draw(cr.get());
    expect(cairo_status(cr.get()));
    cairo_surface_finish(surface.get());
    expect(cairo_surface_status(surface.get()));
  }
  svg.erase(0, svg.find("<svg"));
  // Inside an HTML page the names of the XML languages are known; their addresses would only look like links.
  remove_attribute(svg, " xmlns=\"");
  remove_attribute(svg, " xmlns:xlink=\"");
  remove_attribute(svg, " id=\"");  // of the one group round everything; nothing refers to it
  return svg;
}

std::string png_of(double width, double height, double scale, const Draw& draw) {
  const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(width * scale)),
                                                   static_cast<int>(std::lround(height * scale))));
  const Context cr(cairo_create(surface.get()));
  cairo_scale(cr.get(), scale, scale);
  cairo_set_source_rgb(cr.get(), 1.0, 1.0, 1.0);
  cairo_paint(cr.get());
  draw(cr.get());
  expect(cairo_status(cr.get()));
  std::string png;
  expect(cairo_surface_write_to_png_stream(surface.get(), append, &png));
  return png;
}

double text_width(cairo_t* cr, double size, const std::string& text, bool bold) {
  choose_font(cr, size, bold);
  cairo_text_extents_t extents;
  cairo_text_extents(cr, text.c_str(), &extents);
  return extents.x_advance;
}

void put_text(cairo_t* cr, double x, double y, double size, Align align, const std::string& text, bool bold) {
  const double width = text_width(cr, size, text, bold);
  const double left = align == Align::left ? x : align == Align::middle ? x - width / 2.0 : x - width;
  cairo_move_to(cr, left, y);
  // Outlines instead of text: in SVG, cairo's own text refers to shapes by ids that clash between pictures in one page.
  cairo_text_path(cr, text.c_str());
  cairo_fill(cr);
}

void set_colour(cairo_t* cr, const Rgb& colour) {
  cairo_set_source_rgb(cr, colour.r, colour.g, colour.b);
}

}  // namespace warmbay::scenes
