#pragma once
// The text face in the sizes that the screen uses: Inter, with DejaVu Sans for the signs it lacks.

#include <imgui.h>

#include <filesystem>
#include <string>
#include <vector>

namespace warmbay::render {

struct Fonts {
  ImFont* small = nullptr;   // 14 px at 100 %: labels, units, axes
  ImFont* base = nullptr;    // 17 px: controls and captions
  ImFont* strong = nullptr;  // 17 px, heavier: headings
  ImFont* large = nullptr;   // 23 px: readings
  ImFont* huge = nullptr;    // 42 px: the one number that matters
};

inline constexpr float small_text_px = 14.0F;

/// Fills the toolkit's atlas for a scale (1: 100 %); what was in it is dropped. Faces are looked for in assets/fonts,
/// then where the system keeps them. A face that is nowhere is replaced by the toolkit's own, with a line in `missing`.
/// Call ImGui_ImplOpenGL3_DestroyFontsTexture before, when the atlas is already on the card.
[[nodiscard]] Fonts load_fonts(const std::filesystem::path& assets, float scale, std::vector<std::string>& missing);

}  // namespace warmbay::render
