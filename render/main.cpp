// The program: every command of scenes/cli, and `play` with a window.

#include "render/card/open_card.hpp"
#include "render/play.hpp"
#include "render/x_display.hpp"
#include "scenes/cli/commands.hpp"

int main(int argc, char** argv) {
  warmbay::render::quieten_drivers();
  const warmbay::scenes::WindowCommands window{warmbay::render::play, warmbay::render::card::engine_for};
  return warmbay::scenes::run_command(argc, argv, &window);
}
