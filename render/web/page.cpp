// Short pieces of JavaScript; what they call lies in page.js.

#include "render/web/page.hpp"

#include <emscripten.h>

#include <algorithm>
#include <cstdlib>

namespace warmbay::render::page {

namespace {

// clang-format off
EM_JS(int, canvas_width, (), { return Module["canvas"].clientWidth; });
EM_JS(int, canvas_height, (), { return Module["canvas"].clientHeight; });
EM_JS(double, device_pixel_ratio, (), { return globalThis.devicePixelRatio || 1; });
EM_JS(void, fill_or_leave, (int on), { Module["fillScreen"](on !== 0); });
EM_JS(void, show_lines, (const char* lines), { Module["tellVisitor"](UTF8ToString(lines)); });
EM_JS(char*, scene_in_address, (), {
  return allocateUTF8(new URLSearchParams(globalThis.location.search).get("scene") || "");
});
EM_JS(void, recall_file, (const char* file), {
  const name = UTF8ToString(file);
  const text = Module["keptText"](name);
  if (text === null) return;
  FS.mkdirTree(name.substring(0, name.lastIndexOf("/")));
  FS.writeFile(name, text);
});
EM_JS(int, keep_file, (const char* file), {
  const name = UTF8ToString(file);
  return Module["keepText"](name, FS.readFile(name, {encoding: "utf8"})) ? 1 : 0;
});
// clang-format on

bool is_name(const std::string& name) {
  return !name.empty() && name.size() < 80 && std::all_of(name.begin(), name.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  });
}

}  // namespace

int width() {
  return std::max(1, canvas_width());
}
int height() {
  return std::max(1, canvas_height());
}
float pixel_ratio() {
  return static_cast<float>(std::clamp(device_pixel_ratio(), 1.0, 4.0));
}

void fill_screen(bool on) {
  fill_or_leave(on ? 1 : 0);
}

void tell(const std::string& lines) {
  show_lines(lines.c_str());
}

std::filesystem::path asked_scene(const std::filesystem::path& otherwise) {
  char* const asked = scene_in_address();
  const std::string name = asked;
  std::free(asked);
  if (!is_name(name)) return otherwise;
  const std::filesystem::path file = otherwise.parent_path() / (name + ".toml");
  std::error_code trouble;
  return std::filesystem::exists(file, trouble) ? file : otherwise;
}

void recall(const std::filesystem::path& file) {
  if (!file.empty()) recall_file(file.c_str());
}

bool keep(const std::filesystem::path& file) {
  return keep_file(file.c_str()) != 0;
}

}  // namespace warmbay::render::page
