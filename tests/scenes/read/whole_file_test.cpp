// A file is read to its end or not at all, and nothing waits for ever.

#include "scenes/read/whole_file.hpp"

#include <fcntl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include "scenes/read/descriptor.hpp"
#include "scenes/read/input_limits.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

struct Outcome {
  std::optional<std::string> content;
  std::string fault;
};

Outcome read(const std::filesystem::path& file) {
  std::vector<scenes::Fault> faults;
  Outcome outcome{scenes::read_whole_file(file, "a scene file", faults), {}};
  for (const auto& fault : faults) outcome.fault += scenes::to_line(fault);
  return outcome;
}

}  // namespace

TEST_CASE("a file is read byte by byte as it is, an empty one too") {
  const tests::TemporaryFolder folder;
  const std::string bytes("a\0\r\n\xff", 5);
  CHECK(read(folder.write("some", bytes)).content == bytes);
  CHECK(read(folder.write("none", "")).content == "");
}

TEST_CASE("a file whose first bytes cannot be read is no empty file") {
  // The memory of a process looks like a regular file; nothing is mapped at its beginning (proc(5)).
  const Outcome outcome = read("/proc/self/mem");
  CHECK_FALSE(outcome.content);
  CHECK(outcome.fault == "/proc/self/mem: cannot be read: Input/output error; expected a scene file");
}

TEST_CASE("an error after some bytes gives no half of a file") {
  // A socket whose other end goes away with something unread: first its bytes, then ECONNRESET (unix(7)).
  int ends[2];
  REQUIRE(::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) == 0);
  const scenes::Descriptor near(ends[0]);
  {
    const scenes::Descriptor far(ends[1]);
    REQUIRE(::write(far.number(), "format = 1", 10) == 10);
    REQUIRE(::write(near.number(), "unread", 6) == 6);
  }
  const Outcome outcome = read("/dev/fd/" + std::to_string(near.number()));
  CHECK_FALSE(outcome.content);
  CHECK(outcome.fault.find("cannot be read: Connection reset by peer") != std::string::npos);
}

TEST_CASE("a pipe with a name, a device and a folder are refused at once") {
  const tests::TemporaryFolder folder;
  const auto pipe = folder.path() / "pipe";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  CHECK(read(pipe).fault == pipe.string() + ": cannot be read: it is no regular file; expected a scene file");
  CHECK(read("/dev/zero").fault == "/dev/zero: cannot be read: it is no regular file; expected a scene file");
  CHECK(read(folder.path()).fault ==
        folder.path().string() + ": cannot be read: it is a folder; expected a scene file");
  CHECK(read(folder.path() / "gone").fault.find("No such file or directory") != std::string::npos);
}

TEST_CASE("what comes in through an open descriptor is read, a pipe like a file") {
  const tests::TemporaryFolder folder;
  int ends[2];
  REQUIRE(::pipe2(ends, O_CLOEXEC) == 0);
  const scenes::Descriptor out(ends[0]);
  {
    const scenes::Descriptor in(ends[1]);
    REQUIRE(::write(in.number(), "piped", 5) == 5);
  }
  CHECK(read("/dev/fd/" + std::to_string(out.number())).content == "piped");

  const scenes::Descriptor file(::open(folder.write("f", "filed").c_str(), O_RDONLY | O_CLOEXEC));
  for (int again = 0; again < 2; ++again) CHECK(read("/dev/fd/" + std::to_string(file.number())).content == "filed");
}

TEST_CASE("a file larger than the limit is refused, one as large is read") {
  const tests::TemporaryFolder folder;
  const auto limit = scenes::input_limits::file_bytes;
  const auto file = folder.write("large", "");
  REQUIRE(::truncate(file.c_str(), static_cast<off_t>(limit)) == 0);
  CHECK(read(file).content->size() == limit);
  REQUIRE(::truncate(file.c_str(), static_cast<off_t>(limit) + 1) == 0);
  CHECK(read(file).fault.find("it is larger than 4 MiB") != std::string::npos);
}
