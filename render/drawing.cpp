// Draws the whole screen once.

#include "render/drawing.hpp"

#include <glad/gl.h>
#include <imgui_impl_opengl3.h>

#include <algorithm>
#include <cmath>

#include "render/gl/quality.hpp"
#include "render/gl/shader.hpp"
#include "render/screen.hpp"

namespace warmbay::render {

namespace {

glm::vec3 colour_of(ImU32 colour) {
  const ImVec4 c = ImGui::ColorConvertU32ToFloat4(colour);
  return {c.x, c.y, c.z};
}

/// Presenting, the smallest text is 3 % of the window's height (AVIXA DISCAS, basic decisions). In a window of a few
/// pixels that would be no size for a letter: the scale is held where every other screen's is.
float presenting_scale(int height_px) {
  return std::max(least_scale, std::ceil(0.03F * static_cast<float>(height_px)) / small_text_px);
}

float wanted_scale(const ScreenState& state, const Drawing::Canvas& canvas) {
  if (state.presenting) return presenting_scale(canvas.height_px);
  const double chosen = state.settings.scale;
  if (canvas.pixels_a_point <= 0.0F)
    return suitable_scale(chosen, canvas.width_px, canvas.height_px, canvas.dots_per_inch);
  const auto points = [&](int px) {
    return static_cast<int>(std::lround(static_cast<float>(px) / canvas.pixels_a_point));
  };
  const float of_points = suitable_scale(chosen, points(canvas.width_px), points(canvas.height_px), 0.0F);
  return canvas.pixels_a_point * (chosen >= least_scale ? of_points : std::max(1.0F, of_points));
}

/// From the coldest surroundings to well above what the cables are rated for, on whole tens of degrees.
TemperatureRange first_range(const sim::Snapshot& snapshot) {
  double low_k = 1e9;
  double high_k = 0.0;
  for (const double k : snapshot.conditions.surroundings_k) low_k = std::min(low_k, k);
  for (const double k : snapshot.conditions.surroundings_k) high_k = std::max(high_k, k + 40.0);
  for (const sim::Cable& cable : snapshot.wall->cables) high_k = std::max(high_k, cable.type.rated_k + 30.0);
  if (snapshot.conditions.surroundings_k.empty()) low_k = sim::datum_k;
  const double low_c = 10.0 * std::floor(sim::celsius_from_kelvin(low_k) / 10.0);
  const double high_c = 10.0 * std::ceil(sim::celsius_from_kelvin(std::max(high_k, low_k + 40.0)) / 10.0);
  return {sim::kelvin_from_celsius(low_c), sim::kelvin_from_celsius(high_c)};
}

bool same_size(const CutBox& whole, const sim::Grid& grid) {
  return whole.to_m[0] == grid.x_m.back() && whole.to_m[1] == grid.y_m.back() && whole.to_m[2] == grid.z_m.back();
}

}  // namespace

Drawing::Drawing(const std::filesystem::path& assets, const std::filesystem::path& shaders, const scenes::Text& text)
    : assets_(assets), text_(text), scene_view_(shaders, gl::current_quality()) {
  IMGUI_CHECKVERSION();
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;  // what is remembered is in the settings, and nowhere else
  io.LogFilename = nullptr;
  io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
  io.ConfigWindowsMoveFromTitleBarOnly = true;
  io.KeyMap[ImGuiKey_Space] = 0;  // without a keyboard: the toolkit insists on some key (the window sets its own)
  ImGui_ImplOpenGL3_Init(gl::shading_language);
  if (!scene_view_.error().empty()) troubles_.push_back(scene_view_.error());
}

Drawing::~Drawing() {
  ImGui_ImplOpenGL3_Shutdown();
  ImGui::DestroyContext();
}

void Drawing::fit(const ScreenState& state, const Canvas& canvas) {
  const float wanted = wanted_scale(state, canvas);
  if (wanted != scale_) {
    std::vector<std::string> missing;
    if (scale_ != 0.0F) ImGui_ImplOpenGL3_DestroyFontsTexture();
    fonts_ = load_fonts(assets_, wanted, missing);
    if (scale_ != 0.0F) ImGui_ImplOpenGL3_CreateFontsTexture();
    if (scale_ == 0.0F) {
      for (const std::string& face : missing) troubles_.push_back(face + ": this text face is nowhere on this machine");
    }
  }
  if (wanted != scale_ || state.settings.theme != theme_) use_theme(theme_of(state.settings.theme), wanted);
  scale_ = wanted;
  theme_ = state.settings.theme;
  if (state.palette != palette_ && !state.palettes.empty()) {
    palette_ = state.palette;
    scene_view_.set_palette(state.palettes[static_cast<std::size_t>(palette_)]);
  }
}

Wishes Drawing::frame(const HeatNow& now, ScreenState& state, const Canvas& canvas) {
  fit(state, canvas);
  frame_wall(now, state);
  state.damage.look(now.snapshot);
  const Theme& theme = theme_of(state.settings.theme);
  Ui ui{theme, fonts_, text_, state.settings.units, scale_, state.presenting, drawn};

  ImGui_ImplOpenGL3_NewFrame();
  if (canvas.begin_frame) {
    canvas.begin_frame();
  } else {
    ImGui::GetIO().DisplaySize = {static_cast<float>(canvas.width_px), static_cast<float>(canvas.height_px)};
    ImGui::GetIO().DeltaTime = 1.0F / 60.0F;
  }
  ImGui::NewFrame();
  Wishes wishes = draw_screen(now, state, ui);
  ImGui::Render();

  const glm::vec3 ground = colour_of(theme.ground);
  glDisable(GL_SCISSOR_TEST);
  glViewport(0, 0, canvas.width_px, canvas.height_px);
  glClearColor(ground.r, ground.g, ground.b, 1.0F);
  glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
  draw_wall(now, state, canvas);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  return wishes;
}

void Drawing::draw_wall(const HeatNow& now, ScreenState& state, const Canvas& canvas) {
  const int x = static_cast<int>(state.view_from.x);
  const int width = static_cast<int>(state.view_to.x) - x;
  const int bottom = static_cast<int>(state.view_to.y);
  const int height = bottom - static_cast<int>(state.view_from.y);
  if (!now.snapshot || state.blank || width < 2 || height < 2) return;
  state.view.background = colour_of(theme_of(theme_).ground);
  state.view.scale = scale_;
  scene_view_.draw(now.snapshot, state.view, {x, canvas.height_px - bottom, {width, height}}, now.field);
  const int side = static_cast<int>(state.close_up_to.x - state.close_up_from.x);
  if (side < 2 || !state.damage.place()) return;
  scene_view_.draw_close_up(state.view, state.damage.place()->cut,
                            {static_cast<int>(state.close_up_from.x),
                             canvas.height_px - static_cast<int>(state.close_up_to.y),
                             {side, side}});
}

ScreenState first_screen_state(const std::filesystem::path& assets, const Settings& settings,
                               std::vector<std::string>& troubles) {
  ScreenState state;
  state.settings = settings;
  state.caution_open = !settings.caution_acknowledged;
  for (const std::string& name : Palette::names_in(assets / "palettes")) {
    std::string error;
    if (auto palette = Palette::read(assets / "palettes" / (name + ".toml"), error)) {
      if (name == settings.palette) state.palette = static_cast<int>(state.palettes.size());
      state.palettes.push_back(std::move(*palette));
    } else {
      troubles.push_back(error);
    }
  }
  std::vector<scenes::Fault> faults;
  state.touch = read_touch(assets / "touch.toml", faults);
  for (const scenes::Fault& fault : faults) troubles.push_back(scenes::to_line(fault));
  return state;
}

void frame_wall(const HeatNow& now, ScreenState& state) {
  if (!now.snapshot || now.snapshot->wall == state.framed) return;
  const sim::Wall& wall = *now.snapshot->wall;
  const bool first = !state.framed;
  const bool keep = !first && same_size(state.whole, wall.grid);
  state.framed = now.snapshot->wall;
  state.whole = {{0.0, 0.0, 0.0}, {wall.grid.x_m.back(), wall.grid.y_m.back(), wall.grid.z_m.back()}};
  if (keep) return;
  const TemperatureRange range = state.view.range;
  state.view = first_view(wall);
  state.view.range = first ? first_range(*now.snapshot) : range;
}

}  // namespace warmbay::render
