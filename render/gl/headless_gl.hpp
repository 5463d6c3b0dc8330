#pragma once
// OpenGL without a window or a display: an EGL context without a surface, for pictures from the command line and tests.

#include <memory>
#include <string>

namespace warmbay::render::gl {

/// Current on the thread that opened it until it goes. Draw into a Framebuffer; there is no default one.
class HeadlessGl {
 public:
  /// nullptr on failure, with one clear line in `error`. Asks for OpenGL 4.3 core, takes 3.3.
  [[nodiscard]] static std::unique_ptr<HeadlessGl> open(std::string& error);
  /// One that shares its objects with the context that is current on the calling thread, which stays current; so do
  /// all that another() makes of it. nullptr, with one line in `error`, where that context is none of EGL's.
  [[nodiscard]] static std::unique_ptr<HeadlessGl> beside_current(std::string& error);
  /// Another context on the same display, current on the calling thread: for a thread of its own.
  [[nodiscard]] std::unique_ptr<HeadlessGl> another(std::string& error) const;
  ~HeadlessGl();
  /// Makes it current on the calling thread, if it is not; it must be current on no other.
  void enter() const;
  /// Current on no thread any more: another may enter.
  void leave() const;
  HeadlessGl(const HeadlessGl&) = delete;
  HeadlessGl& operator=(const HeadlessGl&) = delete;

 private:
  struct Impl;
  explicit HeadlessGl(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::render::gl
