#pragma once
// An open file of the operating system.

#include <unistd.h>

#include <cerrno>

namespace warmbay::scenes {

/// Owns a file descriptor and closes it when it goes out of scope. number below 0: opening it failed.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;

  [[nodiscard]] int number() const { return number_; }
  /// Closes now; 0 or the error.
  int close() {
    const int result = ::close(number_);
    number_ = -1;
    return result == 0 ? 0 : errno;
  }

 private:
  int number_;
};

}  // namespace warmbay::scenes
