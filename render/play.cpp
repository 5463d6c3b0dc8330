// `warmbay play`.

#include "render/play.hpp"

#include <SDL.h>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <cstdio>
#include <optional>

#include <iostream>
#include "render/app.hpp"
#include "render/big_arrays.hpp"
#include "render/card/open_card.hpp"
#include "render/drawing.hpp"
#include "render/gl/headless_gl.hpp"
#include "render/rating.hpp"
#include "render/screen.hpp"
#include "render/shot.hpp"
#include "render/window.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/places.hpp"

namespace warmbay::render {

namespace {

void complain(const std::string& line) {
  fmt::print(stderr, "{}\n", line);
}

/// What a scene needs before there is a wall: its file, the program's data and texts.
struct Opened {
  scenes::Places places;
  scenes::DataFiles data;
  std::shared_ptr<const scenes::Text> text;
  std::shared_ptr<const scenes::Scene> scene;
  sim::EngineFactory engine;  // of the heat; empty: the processor
};

/// Prints what is wrong and returns the exit status for it.
int read(const std::filesystem::path& asked, Opened& opened) {
  opened.places = scenes::find_places();
  if (const auto missing = scenes::what_is_missing(opened.places)) {
    complain(scenes::to_line(*missing));
    return scenes::exit_machine;
  }
  std::vector<scenes::Fault> faults;
  scenes::ReadDataFiles data = scenes::read_data_files(opened.places.assets);
  opened.text = std::make_shared<scenes::Text>(scenes::Text::read(opened.places.assets / "text" / "en.toml", faults));
  faults.insert(faults.end(), data.faults.begin(), data.faults.end());
  scenes::print_faults(std::cerr, faults);
  if (!faults.empty()) return scenes::exit_machine;
  opened.data = std::move(data.data);

  scenes::ReadScene read = scenes::read_scene(asked.empty() ? scenes::default_scene() : asked, opened.data);
  scenes::print_faults(std::cerr, read.faults);
  if (!read.scene) return scenes::exit_scene_errors;
  opened.scene = std::make_shared<const scenes::Scene>(std::move(*read.scene));
  return scenes::exit_done;
}

/// Plays on, through the ends of steps, to a simulated time or to the end of the last step.
void play_until(scenes::Player& player, double until_s) {
  while (player.time_s() < until_s && !player.ended()) {
    const double before_s = player.time_s();
    if (player.waiting()) {
      const int step = player.step();
      if (player.step_over()) player.next();
      if (player.waiting() || player.step() == step) player.go_on();
    }
    player.advance(until_s - player.time_s());
    if (player.time_s() <= before_s && !player.waiting()) return;  // less than one internal step short
  }
}

HeatNow picture_after(const Opened& opened, const scenes::PlayArguments& arguments) {
  scenes::PlayerOptions options;
  options.threads = arguments.threads;
  options.stop_between_steps = true;
  options.text = opened.text;
  options.engine = opened.engine;
  scenes::Player player(opened.scene, scenes::paint(*opened.scene, opened.data), options);
  play_until(player, arguments.after_min * 60.0);
  return picture_of(player, opened.scene);
}

int shoot_screen(const Opened& opened, const scenes::PlayArguments& arguments) {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    complain(error);
    return scenes::exit_machine;
  }
  std::vector<std::string> troubles;
  ScreenState state = first_screen_state(opened.places.assets, Settings{}, troubles);
  state.caution_open = false;  // nobody is there to acknowledge it; its notice is on the picture
  state.insulation_choices = scenes::insulation_choices(*opened.scene, opened.data);
  state.insulation = scenes::insulation_of(*opened.scene);
  const HeatNow now = picture_after(opened, arguments);
  context->enter();  // the heat may have had a context of its own
  const sim::Settled settled =
      sim::settle(now.snapshot->wall, now.snapshot->conditions, arguments.threads, now.snapshot.get());
  state.heading =
      Heading{settled.outcome, settled.state ? rate(*now.snapshot->wall, settled.state->reading).hottest_k : 0.0};

  Drawing drawing(opened.places.assets, opened.places.shaders, *opened.text);
  const Drawing::Canvas canvas{arguments.width.value_or(1280), arguments.height.value_or(720), 0.0F, {}};
  const auto draw = [&] {
    for (int i = 0; i < settling_frames; ++i) (void)drawing.frame(now, state, canvas);
  };
  const std::string fault = shoot(*arguments.shot, {canvas.width_px, canvas.height_px, 0}, draw);
  if (!fault.empty()) troubles.push_back(fault);
  for (const std::string& trouble : drawing.troubles()) spdlog::warn("{}", trouble);
  for (const std::string& trouble : troubles) complain(trouble);
  return troubles.empty() ? scenes::exit_done : scenes::exit_machine;
}

int open_window(const Opened& opened, const scenes::PlayArguments& arguments) {
  give_big_arrays_back();
  std::string error;
  const auto window = Window::open((*opened.text)("app.title"), arguments.width.value_or(1280),
                                   arguments.height.value_or(720), static_cast<bool>(opened.engine), error);
  if (!window) {
    complain(error);
    return scenes::exit_machine;
  }
  std::string why_not;
  const sim::EngineFactory beside =
      opened.engine ? card::engine_beside_drawing(arguments.backend, why_not) : sim::EngineFactory{};
  if (!why_not.empty()) spdlog::info("{}", why_not);  // the heat is computed there all the same
  const std::filesystem::path settings = settings_file();
  std::vector<std::string> troubles;
  ScreenState state = first_screen_state(opened.places.assets, read_settings(settings), troubles);
  Drawing drawing(opened.places.assets, opened.places.shaders, *opened.text);
  for (const std::string& trouble : troubles) spdlog::warn("{}", trouble);
  for (const std::string& trouble : drawing.troubles()) spdlog::warn("{}", trouble);
  HeatOptions options;
  options.threads = arguments.threads;
  options.playing = false;  // the app lets it go once the caution is acknowledged
  options.text = opened.text;
  options.engine = beside ? beside : opened.engine;
  App app(opened.data, std::move(state), settings, options, [&window] { window->wake(); });
  app.open(opened.scene);
  window->run(app, drawing);
  return scenes::exit_done;
}

}  // namespace

int play(const scenes::PlayArguments& arguments) {
  Opened opened;
  if (const int status = read(arguments.file, opened); status != scenes::exit_done) return status;
  std::string why_not;
  opened.engine = card::engine_for(arguments.backend, why_not);
  if (arguments.backend == scenes::Backend::gpu && !opened.engine) {
    complain("warmbay: " + why_not);
    return scenes::exit_machine;
  }
  return arguments.shot ? shoot_screen(opened, arguments) : open_window(opened, arguments);
}

}  // namespace warmbay::render
