// The command line: what may be asked, checked by CLI11, and handed to the command that does it.

#include "scenes/cli/commands.hpp"

#include <fmt/ostream.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <exception>
#include <iostream>
#include <map>

#include "scenes/cli/asked.hpp"
#include "scenes/cli/load.hpp"

namespace warmbay::scenes {

namespace {

/// Everything that the command line can ask, filled in by CLI11.
struct Asked {
  SettleAsked settle;
  LimitAsked limit;
  RunAsked run;
  CheckAsked check;
  TrustAsked trust;
  PlayArguments play;
  std::string size;
  int threads = 0;
};

/// A number between two bounds, both allowed. (CLI11's own Range lets "nan" through.)
CLI::Validator between_numbers(double from, double to) {
  return CLI::Validator(
      [from, to](std::string& text) -> std::string {
        double value = 0.0;
        if (CLI::detail::lexical_cast(text, value) && std::isfinite(value) && value >= from && value <= to) return "";
        return fmt::format("{} is not a number from {:g} to {:g}", text, from, to);
      },
      fmt::format("{:g}..{:g}", from, to));
}

/// "1280x720" into a width and a height of 160 to 8192 pixels, each.
CLI::Validator picture_size(PlayArguments& play) {
  return CLI::Validator(
      [&play](std::string& text) -> std::string {
        int width = 0;
        int height = 0;
        char rest = 0;
        const bool both = std::sscanf(text.c_str(), "%dx%d%c", &width, &height, &rest) == 2;
        if (!both || width < 160 || height < 160 || width > 8192 || height > 8192)
          return text + " is not a size like 1280x720, 160 to 8192 each";
        play.width = width;
        play.height = height;
        return "";
      },
      "WxH");
}

void add_backend(CLI::App& command, Backend& backend, const char* help) {
  static const std::map<std::string, Backend> names{
      {"cpu", Backend::cpu}, {"gpu", Backend::gpu}, {"auto", Backend::automatic}};
  command
      .add_option_function<std::string>(
          "--backend", [&backend](const std::string& name) { backend = names.at(name); }, help)
      ->check(CLI::IsMember({"cpu", "gpu", "auto"}));
}

/// For commands whose answer moves in time.
void add_backend(CLI::App& command, Backend& backend) {
  add_backend(command, backend,
              backend == Backend::cpu
                  ? "What computes the heat: cpu (default), gpu, or auto, a graphics card where it is faster"
                  : "What computes the heat: cpu, gpu, or auto (default), a graphics card where it is faster");
}

/// For commands that work out a settled field, which only the processor does.
void add_settled_backend(CLI::App& command, Backend& backend) {
  add_backend(command, backend,
              "What computes the settled field: auto (default) and cpu are the processor; gpu ends with status 3, a "
              "graphics card does not work it out");
}

void describe_windowless(CLI::App& app, Asked& asked) {
  CLI::App* settle = app.add_subcommand("settle", "Find the steady state at the supply's first step");
  settle->add_option("FILE", asked.settle.file, "Scene file")->required();
  settle->add_flag("--json", asked.settle.json, "Print one JSON object instead of a table");
  add_settled_backend(*settle, asked.settle.backend);

  CLI::App* limit = app.add_subcommand("limit", "Find the largest steady current that a cable carries");
  limit->add_option("FILE", asked.limit.file, "Scene file")->required();
  limit->add_option("--cable", asked.limit.cable, "Name of the cable")->required();
  limit
      ->add_option("--celsius", asked.limit.celsius, "Conductor temperature, °C (default: what the cable is rated for)")
      ->check(between_numbers(-200.0, 1000.0));
  limit->add_flag("--json", asked.limit.json, "Print one JSON object instead of a sentence");
  add_settled_backend(*limit, asked.limit.backend);

  CLI::App* run = app.add_subcommand("run", "Play a scene's steps with no window and write readings and a report");
  run->add_option("FILE", asked.run.file, "Scene file")->required();
  run->add_option("--out", asked.run.out, "Folder for the results; made if missing")->required();
  run->add_option("--until-min", asked.run.until_min, "End after this simulated time, min")
      ->check(between_numbers(0.01, 525600.0));
  run->add_option("--every-s", asked.run.every_s, "Simulated time between rows of readings.csv, s (default 5)")
      ->check(between_numbers(0.1, 86400.0));
  add_backend(*run, asked.run.backend);

  CLI::App* check = app.add_subcommand("check", "Read scene files and say what is wrong with them");
  check->add_option("FILE", asked.check.files, "Scene files")->required();

  CLI::App* trust = app.add_subcommand("trust", "Run every published case and say how close the answers come");
  trust->add_option("--out", asked.trust.out, "Folder for trust.html, .csv, .json and .md; made if missing");
  trust->add_flag("--json", asked.trust.json, "Print one JSON object instead of a table");
}

void describe(CLI::App& app, Asked& asked) {
  app.set_version_flag("--version", "warmbay " WARMBAY_VERSION);
  app.add_option("--threads", asked.threads, "Threads to compute with (default: one per core)")
      ->check(CLI::Range(1, 256));
  app.require_subcommand(0, 1);
  app.fallthrough();
  app.footer(
      "With no command: opens the default scene.\n"
      "Exit status: 0 done; 1 the scene has errors, or trust found a check outside its tolerance without a stated "
      "reason;\n"
      "2 the command line is wrong; 3 the machine failed.\n"
      "Not for sizing cables: local codes and licensed electricians decide.");
  describe_windowless(app, asked);

  CLI::App* play = app.add_subcommand("play", "Open a scene in the window (default: the scene that ships)");
  play->add_option("FILE", asked.play.file, "Scene file");
  CLI::Option* shot = play->add_option("--shot", asked.play.shot, "Write a picture of the window here and leave");
  play->add_option("--after-min", asked.play.after_min, "Simulated time before the picture is taken, min")
      ->check(between_numbers(0.0, 525600.0))
      ->needs(shot);
  add_backend(*play, asked.play.backend);
  play->add_option("--size", asked.size, "Size of the window or picture, pixels")->check(picture_size(asked.play));
}

int play(PlayArguments asked, const WindowCommands* window, const Streams& streams) {
  if (window == nullptr || !window->play) {
    fmt::print(streams.err, "warmbay: this build has no window; commands: settle, limit, run, check, trust\n");
    return exit_machine;
  }
  if (asked.file.empty()) asked.file = default_scene();
  return window->play(asked);
}

/// With the engine that was asked for; a card that was asked for by name and is not there ends it.
int run_on_backend(RunAsked& asked, const WindowCommands* window, const Streams& streams) {
  std::string why_not = "this build has no graphics card's heat in it; --backend cpu does the same";
  if (window != nullptr && window->heat) asked.engine = window->heat(asked.backend, why_not);
  if (asked.backend == Backend::gpu && !asked.engine) {
    fmt::print(streams.err, "warmbay: {}\n", why_not);
    return exit_machine;
  }
  return run(asked, streams);
}

/// Where the settled field was asked of a graphics card by name: one line, and true.
bool asks_a_card_to_settle(Backend backend, const Streams& streams) {
  if (backend != Backend::gpu) return false;
  fmt::print(streams.err,
             "warmbay: the settled field is worked out on the processor only; --backend cpu (or auto) does it\n");
  return true;
}

int dispatch(const CLI::App& app, Asked& asked, const WindowCommands* window, const Streams& streams) {
  asked.settle.threads = asked.limit.threads = asked.run.threads = asked.play.threads = asked.trust.threads =
      asked.threads;
  if (app.got_subcommand("settle"))
    return asks_a_card_to_settle(asked.settle.backend, streams) ? exit_machine : settle(asked.settle, streams);
  if (app.got_subcommand("limit"))
    return asks_a_card_to_settle(asked.limit.backend, streams) ? exit_machine : limit(asked.limit, streams);
  if (app.got_subcommand("run")) return run_on_backend(asked.run, window, streams);
  if (app.got_subcommand("check")) return check(asked.check, streams);
  if (app.got_subcommand("trust")) return trust(asked.trust, streams);
  return play(asked.play, window, streams);
}

int parse_and_do(const std::vector<std::string>& words, const WindowCommands* window, const Streams& streams) {
  CLI::App app{"Warmbay: how warm a cable gets inside a wall. A simulation for teaching.", "warmbay"};
  Asked asked;
  describe(app, asked);
  try {
    app.parse(std::vector<std::string>(words.rbegin(), words.rend()));  // CLI11 takes them last first
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error, streams.out, streams.err);  // --help, --version
    fmt::print(streams.err, "warmbay: {} (warmbay --help says more)\n", error.what());
    return exit_command_line;
  }
  return dispatch(app, asked, window, streams);
}

}  // namespace

int run_command(const std::vector<std::string>& words, const WindowCommands* window, const Streams& streams) {
  int status = exit_machine;
  try {
    status = parse_and_do(words, window, streams);
  } catch (const std::bad_alloc&) {
    fmt::print(streams.err,
               "warmbay: not enough memory for this scene; larger voxels ([grid] in the scene) need less\n");
  } catch (const std::exception& error) {
    fmt::print(streams.err, "warmbay: {}\n", error.what());
  }
  streams.out.flush();
  if (status == exit_done && !streams.out) {
    fmt::print(streams.err, "warmbay: standard output cannot be written\n");
    return exit_machine;
  }
  return status;
}

int run_command(int argc, char** argv, const WindowCommands* window) {
  const std::vector<std::string> words(argv + 1, argv + argc);
  return run_command(words, window, Streams{std::cout, std::cerr, ::isatty(STDERR_FILENO) == 1});
}

}  // namespace warmbay::scenes
