// The program on a page: the window over the page's canvas, from the files that came with the page.

#include <emscripten.h>
#include <fmt/format.h>

#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "render/app.hpp"
#include "render/drawing.hpp"
#include "render/web/page.hpp"
#include "render/window.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/data/data_files.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/places.hpp"
#include "scenes/text/text.hpp"

namespace warmbay::render {

namespace {

/// All that lives as long as the page.
struct Program {
  scenes::Places places = scenes::find_places();
  scenes::DataFiles data;
  std::shared_ptr<const scenes::Text> text;
  std::unique_ptr<Window> window;
  std::optional<Drawing> drawing;
  std::optional<App> app;

  std::shared_ptr<const scenes::Report> reported;  // before the one that was asked for
  std::string scene_toml;

  bool begin();
  bool open(const std::filesystem::path& file);
  void ask_for_report();
  [[nodiscard]] const char* report_html();
  [[nodiscard]] const char* scene_text();
  void draw_anew();
};

std::string lines_of(const std::vector<scenes::Fault>& faults) {
  std::string lines;
  for (const scenes::Fault& fault : faults) lines += scenes::to_line(fault) + "\n";
  return lines;
}

/// Reads a scene and goes over to it; what is wrong is told, and what was there stays.
bool Program::open(const std::filesystem::path& file) {
  scenes::ReadScene read = scenes::read_scene(file, data);
  if (!read.faults.empty()) page::tell(lines_of(read.faults));
  if (!read.scene) return false;
  app->open(std::make_shared<const scenes::Scene>(std::move(*read.scene)));
  return true;
}

bool Program::begin() {
  std::vector<scenes::Fault> faults;
  scenes::ReadDataFiles read = scenes::read_data_files(places.assets);
  text = std::make_shared<scenes::Text>(scenes::Text::read(places.assets / "text" / "en.toml", faults));
  faults.insert(faults.end(), read.faults.begin(), read.faults.end());
  if (!faults.empty()) {
    page::tell(lines_of(faults));
    return false;
  }
  data = std::move(read.data);

  std::string error;
  window = Window::open((*text)("app.title"), page::width(), page::height(), false, error);
  if (!window) {
    page::tell(error);
    return false;
  }
  const std::filesystem::path settings = settings_file();
  page::recall(settings);
  std::vector<std::string> troubles;
  ScreenState state = first_screen_state(places.assets, read_settings(settings), troubles);
  drawing.emplace(places.assets, places.shaders, *text);
  for (const std::string& trouble : troubles) page::tell(trouble);
  for (const std::string& trouble : drawing->troubles()) page::tell(trouble);
  HeatOptions options;
  options.playing = false;  // the app lets it go once the caution is acknowledged
  options.text = text;
  app.emplace(data, std::move(state), settings, options, [this] { window->wake(); });
  if (!open(page::asked_scene(scenes::default_scene()))) return false;
  window->run(*app, *drawing);
  return true;
}

void Program::ask_for_report() {
  if (!app) return;
  std::vector<scenes::Fault> faults;
  const scenes::Palette palette = scenes::read_palette(places.assets / "palettes" / "inferno.toml", faults);
  if (!faults.empty()) return page::tell(lines_of(faults));
  reported = app->now()->report;
  app->ask_for_report(std::make_shared<const scenes::Palette>(palette));
}

const char* Program::report_html() {
  const auto report = app ? app->now()->report : nullptr;
  if (!report || report == reported) return "";
  reported = nullptr;
  return report->html.c_str();
}

const char* Program::scene_text() {
  const auto scene = app ? app->now()->scene : nullptr;
  scene_toml = scene ? scenes::write_scene(*scene) : std::string{};
  return scene_toml.c_str();
}

void Program::draw_anew() {
  if (!window) return;
  window->pause();
  drawing.reset();
  drawing.emplace(places.assets, places.shaders, *text);
  window->run(*app, *drawing);
}

Program& program() {
  static Program one;
  return one;
}

}  // namespace

}  // namespace warmbay::render

extern "C" {

/// From the page's menu: a report of the experiment so far, for warmbay_report_html.
EMSCRIPTEN_KEEPALIVE void warmbay_ask_for_report() {
  warmbay::render::program().ask_for_report();
}

/// The report, or an empty text while it is being made.
EMSCRIPTEN_KEEPALIVE const char* warmbay_report_html() {
  return warmbay::render::program().report_html();
}

/// The experiment's wall as a scene file, whatever insulation it has by now.
EMSCRIPTEN_KEEPALIVE const char* warmbay_scene_text() {
  return warmbay::render::program().scene_text();
}

/// The browser took the graphics context away and has given another: everything on it is made again.
EMSCRIPTEN_KEEPALIVE void warmbay_context_restored() {
  warmbay::render::program().draw_anew();
}

/// From the page's menu, or a file dropped on it: opens a scene of the page's file system.
EMSCRIPTEN_KEEPALIVE int warmbay_open(const char* file) {
  return warmbay::render::program().open(file) ? 1 : 0;
}
}

int main() {
  return warmbay::render::program().begin() ? 0 : 1;
}
