// Xlib is not linked: SDL loads it where there is one, and this speaks to that one. Its default handlers print codes
// and exit with status 1, from whatever thread, in the middle of anything.

#include "render/x_display.hpp"

#ifdef __linux__
#include <dlfcn.h>
#include <fcntl.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "scenes/cli/commands.hpp"
#endif

namespace warmbay::render {

#ifdef __linux__

namespace {

// As X11/Xlib.h has them; of the structures nothing is looked at.
using ErrorHandler = int (*)(void* display, void* event);
using LostHandler = int (*)(void* display);

/// The call that it belongs to gives nothing back, and its caller says so.
int pass_over(void*, void*) {
  return 0;
}

/// Xlib would exit when this returns. Settings are written as they change: there is nothing to be saved, and other
/// threads are still at work, which an orderly exit would pull the ground from under.
int display_lost(void*) {
  std::fputs("warmbay: the display has gone, and the window with it\n", stderr);
  std::fflush(nullptr);
  std::_Exit(scenes::exit_machine);
}

template <typename Handler>
void set(void* library, const char* name, Handler handler) {
  using Setter = Handler (*)(Handler);
  if (const auto setter = reinterpret_cast<Setter>(dlsym(library, name))) setter(handler);  // NOLINT: how dlsym is used
}

}  // namespace

void take_x_errors_over() {
  void* const xlib = dlopen("libX11.so.6", RTLD_LAZY | RTLD_NOLOAD);
  if (xlib == nullptr) return;
  set<ErrorHandler>(xlib, "XSetErrorHandler", pass_over);
  set<LostHandler>(xlib, "XSetIOErrorHandler", display_lost);
  dlclose(xlib);  // SDL holds it
}

DriversUnheard::DriversUnheard() {
  const char* const asked = std::getenv("LIBGL_DEBUG");
  if (asked != nullptr && std::string_view(asked) != "quiet") return;
  std::fflush(stderr);
  const int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
  if (nowhere < 0) return;
  kept_ = fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 3);
  if (kept_ >= 0) dup2(nowhere, STDERR_FILENO);
  close(nowhere);
}
DriversUnheard::~DriversUnheard() {
  if (kept_ < 0) return;
  std::fflush(stderr);
  dup2(kept_, STDERR_FILENO);
  close(kept_);
}

void quieten_drivers() {
  setenv("LIBGL_DEBUG", "quiet", 0);
  setenv("EGL_LOG_LEVEL", "fatal", 0);
}

#else

DriversUnheard::DriversUnheard() = default;
DriversUnheard::~DriversUnheard() = default;
void take_x_errors_over() {}
void quieten_drivers() {}

#endif

}  // namespace warmbay::render
