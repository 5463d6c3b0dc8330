// Text faces. Digits are given one width each, so that running numbers do not jitter.

#include "render/fonts.hpp"

#include <ft2build.h>
#include <imgui_internal.h>

#include FT_FREETYPE_H

#include <algorithm>
#include <array>
#include <cmath>

namespace warmbay::render {

namespace {

namespace fs = std::filesystem;

constexpr std::array<const char*, 4> system_folders{"/usr/share/fonts/opentype/inter",
                                                    "/usr/share/fonts/truetype/dejavu", "/usr/local/share/fonts",
                                                    "/usr/share/fonts"};

// Latin, Greek, punctuation, superscripts, arrows, mathematical and geometric signs.
constexpr std::array<ImWchar, 19> letters{0x0020, 0x017F, 0x0391, 0x03C9, 0x2010, 0x2027, 0x2030,
                                          0x203A, 0x2070, 0x209F, 0x2190, 0x2193, 0x2212, 0x2212,
                                          0x2248, 0x2265, 0x2713, 0x2717, 0};
constexpr std::array<ImWchar, 5> shapes{0x25A0, 0x25FF, 0x26A0, 0x26A0, 0};

std::string find_face(const fs::path& assets, const std::string& name) {
  std::error_code error;
  const fs::path own = assets / "fonts" / name;
  if (fs::exists(own, error)) return own.string();
  for (const char* folder : system_folders) {
    const fs::path there = fs::path(folder) / name;
    if (fs::exists(there, error)) return there.string();
  }
  return {};
}

struct Faces {
  std::string medium;
  std::string heavy;
  std::string signs;
};

ImFont* add(const Faces& faces, const std::string& face, float size_px) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  ImFont* font = nullptr;
  ImFontConfig config;
  config.OversampleH = 1;
  config.OversampleV = 1;
  config.PixelSnapH = true;
  if (!face.empty()) font = atlas.AddFontFromFileTTF(face.c_str(), size_px, &config, letters.data());
  if (font == nullptr) {
    config.SizePixels = size_px;
    font = atlas.AddFontDefault(&config);
  }
  if (!faces.signs.empty()) {
    ImFontConfig merged = config;
    merged.MergeMode = true;
    atlas.AddFontFromFileTTF(faces.signs.c_str(), size_px, &merged, letters.data());
    atlas.AddFontFromFileTTF(faces.signs.c_str(), size_px, &merged, shapes.data());
  }
  return font;
}

/// The toolkit rounds every glyph's advance up, which spaces small text too widely: set it to the nearest whole pixel.
void space_evenly(ImFont& font, const std::string& face_file, float size_px) {
  FT_Library library = nullptr;
  FT_Face face = nullptr;
  if (face_file.empty() || FT_Init_FreeType(&library) != 0) return;
  if (FT_New_Face(library, face_file.c_str(), 0, &face) == 0) {
    FT_Size_RequestRec request{FT_SIZE_REQUEST_TYPE_REAL_DIM, 0, static_cast<FT_Long>(size_px * 64.0F), 0, 0};
    FT_Request_Size(face, &request);
    for (ImFontGlyph& glyph : font.Glyphs) {
      const FT_UInt index = FT_Get_Char_Index(face, glyph.Codepoint);
      if (index == 0 || FT_Load_Glyph(face, index, FT_LOAD_NO_BITMAP) != 0) continue;  // of the merged face: as it is
      glyph.AdvanceX = std::round(static_cast<float>(face->glyph->linearHoriAdvance) / 65536.0F);
    }
    FT_Done_Face(face);
  }
  FT_Done_FreeType(library);
}

void give_digits_one_width(ImFont& font) {
  float widest = 0.0F;
  for (ImWchar c = '0'; c <= '9'; ++c) widest = std::max(widest, font.FindGlyph(c)->AdvanceX);
  for (ImWchar c = '0'; c <= '9'; ++c) {
    for (ImFontGlyph& glyph : font.Glyphs) {
      if (glyph.Codepoint != c) continue;
      const float shift = std::floor((widest - glyph.AdvanceX) / 2.0F);
      glyph.X0 += shift;
      glyph.X1 += shift;
      glyph.AdvanceX = widest;
    }
  }
  font.BuildLookupTable();
}

}  // namespace

Fonts load_fonts(const fs::path& assets, float scale, std::vector<std::string>& missing) {
  Faces faces{find_face(assets, "Inter-Medium.otf"), find_face(assets, "Inter-SemiBold.otf"),
              find_face(assets, "DejaVuSans.ttf")};
  if (faces.medium.empty()) missing.emplace_back("Inter-Medium.otf");
  if (faces.heavy.empty()) missing.emplace_back("Inter-SemiBold.otf");
  if (faces.signs.empty()) missing.emplace_back("DejaVuSans.ttf");
  if (faces.medium.empty()) faces.medium = faces.signs;
  if (faces.heavy.empty()) faces.heavy = faces.medium;

  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  atlas.Clear();
  Fonts fonts;
  const auto px = [scale](float size) { return std::round(size * scale); };
  fonts.base = add(faces, faces.medium, px(17.0F));  // the first one is the toolkit's default
  fonts.small = add(faces, faces.medium, px(small_text_px));
  fonts.strong = add(faces, faces.heavy, px(17.0F));
  fonts.large = add(faces, faces.heavy, px(23.0F));
  fonts.huge = add(faces, faces.heavy, px(42.0F));
  atlas.Build();
  for (ImFont* font : atlas.Fonts) {
    const bool heavy = font == fonts.strong || font == fonts.large || font == fonts.huge;
    space_evenly(*font, heavy ? faces.heavy : faces.medium, font->FontSize);
    give_digits_one_width(*font);
  }
  return fonts;
}

}  // namespace warmbay::render
