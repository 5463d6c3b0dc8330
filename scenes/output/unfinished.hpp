#pragma once
// The file that is being written right now, and what becomes of it when a signal ends the program meanwhile.

#include <array>
#include <csignal>
#include <filesystem>
#include <mutex>
#include <utility>

namespace warmbay::scenes {

/// A new, empty file beside its final place, under a name that nothing else has. It is removed when this goes out of
/// scope or when SIGINT, SIGTERM or SIGHUP ends the program, unless it has been renamed before. While one exists,
/// others wait: a program writes one file at a time.
class Unfinished {
 public:
  /// final_path: where the file will be. descriptor() is below 0 and error() is set when it cannot be made.
  explicit Unfinished(const std::filesystem::path& final_path);
  ~Unfinished();
  Unfinished(const Unfinished&) = delete;
  Unfinished& operator=(const Unfinished&) = delete;

  [[nodiscard]] int descriptor() const { return descriptor_; }
  [[nodiscard]] int error() const { return error_; }
  /// Closes the file; 0 or the error.
  [[nodiscard]] int close();
  /// Puts it into its final place, over what was there; 0 or the error. Call close() before.
  [[nodiscard]] int rename();

 private:
  void open();

  static constexpr std::array signals{SIGINT, SIGTERM, SIGHUP};
  std::unique_lock<std::mutex> alone_;
  std::filesystem::path final_path_;
  std::filesystem::path path_;
  int descriptor_ = -1;
  int error_ = 0;
  std::array<struct sigaction, signals.size()> before_{};
  struct sigaction before_too_large_ {};
};

}  // namespace warmbay::scenes
