// The signal handler may only do what POSIX calls async-signal-safe: it reads two atomics and a name that was written
// before, and calls unlink(). Any thread may run it; the thread that makes a file holds signals off meanwhile, so that
// the handler can wait for it: a file is never made after it was looked for.

#include "scenes/output/unfinished.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <random>
#include <string>

namespace warmbay::scenes {

namespace {

constexpr std::size_t longest_path = 4096;  // with its end; PATH_MAX of Linux
constexpr int tries = 100;                  // names that are taken, before giving up

std::mutex one_file_at_a_time;
std::array<char, longest_path> name_to_remove;  // of the file that exists
std::atomic<bool> exists = false;
std::atomic<bool> is_made = false;  // right now
std::atomic<bool> program_ends = false;

static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may use only atomics without locks");

extern "C" void remove_and_end(int signal) {
  const int error = errno;
  program_ends = true;
  while (is_made) {
  }
  if (exists) ::unlink(name_to_remove.data());
  errno = error;
  // SA_RESETHAND has put the default back; it acts as soon as this handler returns.
  ::raise(signal);
}

/// Holds SIGINT, SIGTERM and SIGHUP off this thread while it exists.
class SignalsHeldOff {
 public:
  SignalsHeldOff() {
    sigset_t some;
    ::sigemptyset(&some);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) ::sigaddset(&some, signal);
    ::pthread_sigmask(SIG_BLOCK, &some, &before_);
  }
  ~SignalsHeldOff() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
  SignalsHeldOff(const SignalsHeldOff&) = delete;
  SignalsHeldOff& operator=(const SignalsHeldOff&) = delete;

 private:
  sigset_t before_;
};

bool is_default(const struct sigaction& action) {
  return (action.sa_flags & SA_SIGINFO) == 0 && action.sa_handler == SIG_DFL;
}

std::filesystem::path beside(const std::filesystem::path& final_path) {
  static std::random_device random;
  const auto number = static_cast<unsigned long long>(random()) << 32 | random();
  return final_path.parent_path() / fmt::format(".warmbay-{}-{:016x}.part", ::getpid(), number);
}

}  // namespace

Unfinished::Unfinished(const std::filesystem::path& final_path) : alone_(one_file_at_a_time), final_path_(final_path) {
  struct sigaction removing {};
  removing.sa_handler = remove_and_end;
  removing.sa_flags = static_cast<int>(SA_RESETHAND);
  ::sigfillset(&removing.sa_mask);
  for (std::size_t i = 0; i < signals.size(); ++i) {
    ::sigaction(signals[i], nullptr, &before_[i]);
    // What the program's owner has chosen (nohup ignores SIGHUP, a window has handlers of its own) stays.
    if (is_default(before_[i])) ::sigaction(signals[i], &removing, nullptr);
  }
  // Past a limit on the size of files, write() is to say so (EFBIG): unheeded, this signal would end the program.
  struct sigaction ignoring {};
  ignoring.sa_handler = SIG_IGN;
  ::sigaction(SIGXFSZ, nullptr, &before_too_large_);
  if (is_default(before_too_large_)) ::sigaction(SIGXFSZ, &ignoring, nullptr);
  for (int n = 0; n < tries; ++n) {
    path_ = beside(final_path_);
    open();
    if (error_ != EEXIST) return;
  }
}

void Unfinished::open() {
  error_ = path_.native().size() < longest_path ? 0 : ENAMETOOLONG;
  if (error_ != 0) return;
  std::strcpy(name_to_remove.data(), path_.c_str());
  const SignalsHeldOff held_off;
  is_made = true;
  // O_EXCL: it must be new; a link of that name is not followed.
  if (program_ends)
    error_ = EINTR;
  else
    descriptor_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (error_ == 0 && descriptor_ < 0) error_ = errno;
  exists = descriptor_ >= 0;
  is_made = false;
}

int Unfinished::close() {
  const int result = ::close(std::exchange(descriptor_, -1));
  return result == 0 ? 0 : errno;
}

int Unfinished::rename() {
  if (::rename(path_.c_str(), final_path_.c_str()) != 0) return errno;
  exists = false;
  return 0;
}

Unfinished::~Unfinished() {
  if (descriptor_ >= 0) ::close(descriptor_);
  if (exists) ::unlink(path_.c_str());
  exists = false;
  if (is_default(before_too_large_)) ::sigaction(SIGXFSZ, &before_too_large_, nullptr);
  for (std::size_t i = 0; i < signals.size(); ++i) {
    struct sigaction now {};
    ::sigaction(signals[i], nullptr, &now);
    if ((now.sa_flags & SA_SIGINFO) == 0 && now.sa_handler == remove_and_end)
      ::sigaction(signals[i], &before_[i], nullptr);
  }
}

}  // namespace warmbay::scenes
