// Plain POSIX calls: only they tell an error in the middle of a file from its end, and only they open a pipe without
// waiting for somebody to write into it.

#include "scenes/read/whole_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>

#include <array>
#include <charconv>
#include <system_error>

#include "scenes/read/descriptor.hpp"
#include "scenes/read/input_limits.hpp"

namespace warmbay::scenes {

namespace {

std::string reason(int error) {
  return std::generic_category().message(error);
}

/// The descriptor that a path like /dev/stdin or /dev/fd/63 names: whoever started the program has opened it.
std::optional<int> open_already(const std::string& path) {
  if (path == "/dev/stdin") return STDIN_FILENO;
  constexpr std::string_view folder = "/dev/fd/";
  if (!path.starts_with(folder)) return std::nullopt;
  int number = -1;
  const char* const end = path.data() + path.size();
  const auto [stop, trouble] = std::from_chars(path.data() + folder.size(), end, number);
  return trouble == std::errc() && stop == end && number >= 0 ? std::optional(number) : std::nullopt;
}

/// Why this is nothing to read from; empty when it is a regular file.
std::string why_no_file(int descriptor) {
  struct stat found {};
  if (::fstat(descriptor, &found) != 0) return reason(errno);
  if (S_ISREG(found.st_mode)) return {};
  return S_ISDIR(found.st_mode) ? "it is a folder" : "it is no regular file";
}

/// Reads to the end; says why it cannot, or nothing.
std::string read_all(int descriptor, std::string& content) {
  std::array<char, 65536> part;
  for (;;) {
    const ssize_t count = ::read(descriptor, part.data(), part.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return reason(errno);
    if (count == 0) return {};
    content.append(part.data(), static_cast<std::size_t>(count));
    if (content.size() > input_limits::file_bytes) {
      return fmt::format("it is larger than {} MiB", input_limits::file_bytes >> 20);
    }
  }
}

std::string read(const std::filesystem::path& file, std::string& content) {
  const auto number = open_already(file.string());
  if (number) {
    const Descriptor own(::fcntl(*number, F_DUPFD_CLOEXEC, 0));
    if (own.number() < 0) return reason(errno);
    // A regular file is opened anew below, so that it is read from its beginning however often.
    if (!why_no_file(own.number()).empty()) return read_all(own.number(), content);
  }
  const Descriptor opened(::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY));
  if (opened.number() < 0) return reason(errno);
  auto why_not = why_no_file(opened.number());
  return why_not.empty() ? read_all(opened.number(), content) : why_not;
}

}  // namespace

std::optional<std::string> read_whole_file(const std::filesystem::path& file, std::string_view expected,
                                           std::vector<Fault>& faults) {
  std::string content;
  const auto why_not = read(file, content);
  if (why_not.empty()) return content;
  faults.push_back({file.string(), 0, 0, fmt::format("cannot be read: {}; expected {}", why_not, expected)});
  return std::nullopt;
}

}  // namespace warmbay::scenes
