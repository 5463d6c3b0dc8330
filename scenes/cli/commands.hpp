#pragma once
// The one command line of the program: what can be asked of it, and what main() needs to answer.

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "sim/heat_engine.hpp"

namespace warmbay::scenes {

/// What the exit status says (the contract of the commands).
enum ExitStatus { exit_done = 0, exit_scene_errors = 1, exit_command_line = 2, exit_machine = 3 };

/// What computes the heat. automatic: a graphics card where there is one that is faster on the scene, else the
/// processor.
enum class Backend { cpu, gpu, automatic };

/// `warmbay play [FILE] [--shot OUT.png --after-min M] [--size WxH] [--threads N]`
struct PlayArguments {
  std::filesystem::path file;                 // the scene; the default scene when none was named
  std::optional<std::filesystem::path> shot;  // write one picture here and leave, with no window
  double after_min = 0.0;                     // simulated minutes before the picture is taken
  std::optional<int> width;                   // of the window or the picture, pixels; none: the window chooses
  std::optional<int> height;
  int threads = 0;                 // 0: one per core
  Backend backend = Backend::cpu;  // what a window gains from a card has not been measured
};

/// What only a build with a window can do. Built without one, main() passes nullptr.
struct WindowCommands {
  std::function<int(const PlayArguments&)> play = {};  // returns an exit status
  /// The heat's engine for a backend. Empty: the processor; if a card was asked for by name, why_not says so.
  std::function<sim::EngineFactory(Backend, std::string& why_not)> heat = {};
};

/// Where a command writes. progress: the error stream is a terminal, so that progress may be shown there.
struct Streams {
  std::ostream& out;
  std::ostream& err;
  bool progress = false;
};

/// Does what the command line asks, on standard output and standard error; returns the exit status.
[[nodiscard]] int run_command(int argc, char** argv, const WindowCommands* window);

/// The same with the words after the program's name, and with streams of the caller's (tests).
[[nodiscard]] int run_command(const std::vector<std::string>& words, const WindowCommands* window,
                              const Streams& streams);

}  // namespace warmbay::scenes
