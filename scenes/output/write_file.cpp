// Plain POSIX calls: only they tell the reason (disk full, no permission) and let the bytes reach the disk before the
// rename, so that a power cut leaves the old file or the new one.

#include "scenes/output/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "scenes/descriptor.hpp"

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
  const std::filesystem::path beside = path.parent_path() / fmt::format(".{}.part", path.filename().string());
  Descriptor file(::open(beside.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666));
  if (file.number() < 0) return fault_of(path, errno);
  int error = write_all(file.number(), bytes);
  if (error == 0) error = sync(file.number());
  if (const int closing = file.close(); error == 0) error = closing;
  if (error == 0 && ::rename(beside.c_str(), path.c_str()) != 0) error = errno;
  if (error == 0) return std::nullopt;
  ::unlink(beside.c_str());
  return fault_of(path, error);
}

std::optional<Fault> make_folder(const std::filesystem::path& folder) {
  std::error_code error;
  if (std::filesystem::exists(folder, error) && !std::filesystem::is_directory(folder, error))
    return Fault{folder.string(), 0, 0, "is a file; the name of a folder was expected"};
  std::filesystem::create_directories(folder, error);
  if (error) return Fault{folder.string(), 0, 0, fmt::format("cannot be made: {}", error.message())};
  const std::filesystem::path probe = folder / ".warmbay-probe";
  {
    const Descriptor file(::open(probe.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666));
    if (file.number() < 0)
      return Fault{folder.string(), 0, 0, fmt::format("cannot be written into: {}", reason(errno))};
  }
  ::unlink(probe.c_str());
  return std::nullopt;
}

}  // namespace warmbay::scenes
