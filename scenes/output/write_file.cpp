// Plain POSIX calls: only they tell the reason (disk full, no permission) and let the bytes reach the disk before the
// rename, so that a power cut leaves the old file or the new one.

#include "scenes/output/write_file.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "scenes/output/stale_parts.hpp"
#include "scenes/output/unfinished.hpp"

namespace warmbay::scenes {

namespace {

std::string reason(int error) {
  return std::generic_category().message(error);
}

Fault fault_of(const std::filesystem::path& path, int error) {
  return {path.string(), 0, 0, fmt::format("cannot be written: {}", reason(error))};
}

/// 0 or the error.
int write_all(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    if (written == 0) return ENOSPC;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

/// Some file systems cannot sync (EINVAL, for pipes and devices): then there is nothing to make sure of.
int sync(int descriptor) {
  return ::fsync(descriptor) == 0 || errno == EINVAL || errno == ENOTSUP ? 0 : errno;
}

}  // namespace

std::optional<Fault> write_file(const std::filesystem::path& path, std::string_view bytes) {
  Unfinished file(path);
  int error = file.error();
  if (error == 0) error = write_all(file.descriptor(), bytes);
  if (error == 0) error = sync(file.descriptor());
  if (error == 0) error = file.close();
  if (error == 0) error = file.rename();
  return error == 0 ? std::nullopt : std::optional(fault_of(path, error));
}

std::optional<Fault> make_folder(const std::filesystem::path& folder) {
  std::error_code error;
  if (std::filesystem::exists(folder, error) && !std::filesystem::is_directory(folder, error))
    return Fault{folder.string(), 0, 0, "is a file; the name of a folder was expected"};
  std::filesystem::create_directories(folder, error);
  if (error) return Fault{folder.string(), 0, 0, fmt::format("cannot be made: {}", error.message())};
  const Unfinished probe(folder / "probe");
  if (probe.error() != 0)
    return Fault{folder.string(), 0, 0, fmt::format("cannot be written into: {}", reason(probe.error()))};
  remove_stale_parts(folder);
  return std::nullopt;
}

}  // namespace warmbay::scenes
