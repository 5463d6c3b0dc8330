// The program: every command of scenes/cli, and `play` with a window.

#include "render/play.hpp"
#include "scenes/cli/commands.hpp"

int main(int argc, char** argv) {
  const warmbay::scenes::WindowCommands window{warmbay::render::play};
  return warmbay::scenes::run_command(argc, argv, &window);
}
