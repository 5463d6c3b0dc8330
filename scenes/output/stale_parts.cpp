// Only regular files whose whole name is one that output/unfinished.cpp gives are looked at.

#include "scenes/output/stale_parts.hpp"

#include <signal.h>

#include <cerrno>
#include <charconv>
#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

namespace warmbay::scenes {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view first_part = ".warmbay-";
constexpr std::string_view last_part = ".part";
constexpr std::size_t random_digits = 16;
constexpr auto quiet_for = std::chrono::minutes(1);

/// The process that a name of the form ".warmbay-PID-RANDOM.part" names; nothing for other names.
std::optional<pid_t> writer_of(std::string_view name) {
  if (!name.starts_with(first_part) || !name.ends_with(last_part)) return std::nullopt;
  name.remove_prefix(first_part.size());
  if (name.size() < last_part.size()) return std::nullopt;
  name.remove_suffix(last_part.size());
  pid_t process = 0;
  const auto [stop, trouble] = std::from_chars(name.data(), name.data() + name.size(), process);
  if (trouble != std::errc() || process <= 0) return std::nullopt;
  name.remove_prefix(static_cast<std::size_t>(stop - name.data()));
  if (name.size() != 1 + random_digits || name.front() != '-') return std::nullopt;
  const bool random = name.find_first_not_of("0123456789abcdef", 1) == std::string_view::npos;
  return random ? std::optional(process) : std::nullopt;
}

bool lives(pid_t process) {
  return ::kill(process, 0) == 0 || errno != ESRCH;
}

bool is_stale(const fs::directory_entry& entry) {
  std::error_code trouble;
  if (entry.symlink_status(trouble).type() != fs::file_type::regular) return false;
  const auto writer = writer_of(entry.path().filename().string());
  if (!writer || lives(*writer)) return false;
  const auto changed = entry.last_write_time(trouble);
  return !trouble && fs::file_time_type::clock::now() - changed > quiet_for;
}

}  // namespace

void remove_stale_parts(const fs::path& folder) {
  std::vector<fs::path> stale;
  std::error_code trouble;
  for (fs::directory_iterator at(folder, trouble), end; !trouble && at != end; at.increment(trouble))
    if (is_stale(*at)) stale.push_back(at->path());
  for (const auto& path : stale) fs::remove(path, trouble);
}

}  // namespace warmbay::scenes
