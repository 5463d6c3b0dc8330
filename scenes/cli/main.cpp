// The program built without a window: every command but `play`.

#include "scenes/cli/commands.hpp"

int main(int argc, char** argv) {
  return warmbay::scenes::run_command(argc, argv, nullptr);
}
