#pragma once
// What each command was asked, and the commands themselves. Each returns an ExitStatus.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scenes/cli/commands.hpp"
#include "sim/settled.hpp"

namespace warmbay::scenes {

struct SettleAsked {
  std::filesystem::path file;
  bool json = false;
  int threads = 0;
  Backend backend = Backend::automatic;  // gpu never gets this far: only the processor settles
};

struct LimitAsked {
  std::filesystem::path file;
  std::string cable;
  std::optional<double> celsius;
  bool json = false;
  int threads = 0;
  Backend backend = Backend::automatic;
};

struct RunAsked {
  std::filesystem::path file;
  std::filesystem::path out;
  std::optional<double> until_min;
  double every_s = 5.0;
  int threads = 0;
  Backend backend = Backend::automatic;
  sim::EngineFactory engine;  // of that backend; empty: the processor
};

struct CheckAsked {
  std::vector<std::filesystem::path> files;
};

struct TrustAsked {
  std::optional<std::filesystem::path> out;
  bool json = false;
  int threads = 0;
};

[[nodiscard]] int settle(const SettleAsked& asked, const Streams& streams);
[[nodiscard]] int limit(const LimitAsked& asked, const Streams& streams);
[[nodiscard]] int run(const RunAsked& asked, const Streams& streams);
[[nodiscard]] int check(const CheckAsked& asked, const Streams& streams);
[[nodiscard]] int trust(const TrustAsked& asked, const Streams& streams);

}  // namespace warmbay::scenes
