#pragma once
// What only a page has: its size, its storage, its address, and a place where it says what is wrong.

#include <filesystem>
#include <string>

namespace warmbay::render::page {

/// Of the canvas, CSS pixels.
[[nodiscard]] int width();
[[nodiscard]] int height();
/// Device pixels a CSS pixel, 1 to 4.
[[nodiscard]] float pixel_ratio();

/// Lets the page fill the screen, or no longer; the browser may refuse.
void fill_screen(bool on);

/// Shows lines to whoever looks at the page, until they close them.
void tell(const std::string& lines);

/// The scene that the page's address names (?scene=NAME of the library), or the one given.
[[nodiscard]] std::filesystem::path asked_scene(const std::filesystem::path& otherwise);

/// Puts a file back that keep() has put into the browser's storage; nothing where there is none.
void recall(const std::filesystem::path& file);
/// Keeps a file in the browser's storage. False: the browser refuses, or it is full.
[[nodiscard]] bool keep(const std::filesystem::path& file);

}  // namespace warmbay::render::page
