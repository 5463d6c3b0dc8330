// The window and its loop.

#include "render/window.hpp"

#define SDL_MAIN_HANDLED  // main() is ours
#include <SDL.h>
#include <fmt/format.h>
#include <glad/gl.h>
#include <imgui_impl_sdl.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cfloat>
#include <chrono>
#include <cstring>
#include <optional>
#include <utility>

#include "render/app.hpp"
#include "render/drawing.hpp"
#include "render/x_display.hpp"

#ifdef __EMSCRIPTEN__
#include <emscripten.h>

#include "render/web/page.hpp"
#endif

namespace warmbay::render {

namespace {

constexpr int frames_after_input = 3;  // the toolkit needs a few to settle: hover, pop-ups, heights of panels
constexpr int longest_wait_ms = 250;   // the caret of a text field blinks no faster
#ifdef __EMSCRIPTEN__
constexpr double page_turn_s = 0.008;  // of a frame, for the heat: half of what sixty frames a second leave
#endif

double wall_clock_s() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// SDL falls back to drivers that show nothing when there is no display.
bool shows_something() {
  const char* driver = SDL_GetCurrentVideoDriver();
  if (driver == nullptr) return false;
  const bool blind = std::strcmp(driver, "offscreen") == 0 || std::strcmp(driver, "dummy") == 0;
  return !blind || SDL_getenv("SDL_VIDEODRIVER") != nullptr;
}

/// Without a session folder there is no Wayland, and asking for it makes its library complain in its own words.
void choose_driver() {
  if (SDL_getenv("SDL_VIDEODRIVER") != nullptr || SDL_getenv("XDG_RUNTIME_DIR") != nullptr) return;
#ifdef __linux__
  SDL_SetHint(SDL_HINT_VIDEODRIVER, "x11");
#endif
}

/// The kinds of OpenGL that will do, best first: 4.3 for the heat's compute shaders, else the floor, 3.3; on a page
/// ES 3.
struct GlKind {
  int profile, major, minor;
};
#ifdef __EMSCRIPTEN__
constexpr std::array gl_kinds{GlKind{SDL_GL_CONTEXT_PROFILE_ES, 3, 0}};
constexpr Uint32 page_flags = SDL_WINDOW_ALLOW_HIGHDPI;
#else
constexpr std::array gl_kinds{GlKind{SDL_GL_CONTEXT_PROFILE_CORE, 4, 3}, GlKind{SDL_GL_CONTEXT_PROFILE_CORE, 3, 3}};
constexpr Uint32 page_flags = 0;
#endif

SDL_Window* make_window(const std::string& title, int width, int height, const GlKind& kind) {
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_PROFILE_MASK, kind.profile);
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_MAJOR_VERSION, kind.major);
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_MINOR_VERSION, kind.minor);
  SDL_GL_SetAttribute(SDL_GL_DOUBLEBUFFER, 1);
  return SDL_CreateWindow(title.c_str(), SDL_WINDOWPOS_CENTERED, SDL_WINDOWPOS_CENTERED, width, height,
                          SDL_WINDOW_OPENGL | SDL_WINDOW_RESIZABLE | page_flags);
}

}  // namespace

std::string no_window(const std::string& why, const std::string& code) {
  return fmt::format("warmbay: no window can be opened: {}; run, settle, limit and check work without{}", why,
                     code.empty() ? "" : " (" + code + ")");
}

struct Window::Impl {
  SDL_Window* window = nullptr;
  SDL_GLContext context = nullptr;
  Uint32 wake_event = 0;
  std::atomic<bool> wake_sent{false};
  bool full_screen = false;

  ~Impl() {
    if (context != nullptr) SDL_GL_DeleteContext(context);
    if (window != nullptr) SDL_DestroyWindow(window);
    SDL_Quit();
  }

  /// One line of why not, or nothing.
  std::string make(const std::string& title, int width, int height) {
    for (const GlKind& kind : gl_kinds) {
      window = make_window(title, width, height, kind);
      if (window == nullptr) continue;
      context = SDL_GL_CreateContext(window);
      if (context != nullptr) break;
      SDL_DestroyWindow(window);
      window = nullptr;
    }
    if (context == nullptr) return no_window("this display has no driver for OpenGL 3.3", SDL_GetError());
    const int version = gladLoadGL(reinterpret_cast<GLADloadfunc>(SDL_GL_GetProcAddress));
    const GlKind& least = gl_kinds.back();
    if (std::pair(GLAD_VERSION_MAJOR(version), GLAD_VERSION_MINOR(version)) < std::pair(least.major, least.minor)) {
      return no_window("it needs OpenGL 3.3, and this machine has less",
                       fmt::format("OpenGL {}.{}", GLAD_VERSION_MAJOR(version), GLAD_VERSION_MINOR(version)));
    }
    SDL_GL_SetSwapInterval(1);
    wake_event = SDL_RegisterEvents(1);
    return {};
  }

  void set_full_screen(bool on) {
    full_screen = on;
#ifdef __EMSCRIPTEN__
    page::fill_screen(on);
#else
    SDL_SetWindowFullscreen(window, on ? SDL_WINDOW_FULLSCREEN_DESKTOP : 0);
#endif
  }

  [[nodiscard]] float dots_per_inch() const {
#ifdef __EMSCRIPTEN__
    return 0.0F;
#else
    float dots = 0.0F;
    const int display = SDL_GetWindowDisplayIndex(window);
    return display >= 0 && SDL_GetDisplayDPI(display, nullptr, &dots, nullptr) == 0 ? dots : 0.0F;
#endif
  }
};

Window::Window(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Window::~Window() = default;

std::unique_ptr<Window> Window::open(const std::string& title, int width, int height, bool shares, std::string& error) {
  SDL_SetMainReady();
  choose_driver();
  if (shares) SDL_SetHint(SDL_HINT_VIDEO_X11_FORCE_EGL, "1");
  auto impl = std::make_unique<Impl>();
  const bool begun = SDL_Init(SDL_INIT_VIDEO) == 0;
  if (!begun || !shows_something()) {
    error = no_window("there is no display, which play FILE --shot OUT.png does not need", begun ? "" : SDL_GetError());
    return nullptr;
  }
  take_x_errors_over();
  {
    const DriversUnheard unheard;
    error = impl->make(title, width, height);
  }
  if (!error.empty()) return nullptr;
  return std::unique_ptr<Window>(new Window(std::move(impl)));
}

void Window::wake() {
  if (impl_->wake_sent.exchange(true)) return;  // one in the queue is enough
  SDL_Event event{};
  event.type = impl_->wake_event;
  SDL_PushEvent(&event);
}

namespace {

/// One turn of the loop after another: events in, a frame out when it is worth one.
class Loop {
 public:
  Loop(SDL_Window* window, App& app, Drawing& drawing) : window_(window), app_(app), drawing_(drawing) {}

  bool quit = false;
  int frames_due = frames_after_input;

  void event(const SDL_Event& event) {
    frames_due = frames_after_input;
    if (event.type == SDL_QUIT) quit = true;
    if (event.type == SDL_KEYDOWN && key(event.key)) return;
    // A number half typed is done before people go to another window: here it would go on showing what does not flow.
    const bool left = event.type == SDL_WINDOWEVENT && event.window.event == SDL_WINDOWEVENT_FOCUS_LOST;
    if (left && ImGui::GetIO().WantTextInput) app_.state().leave_field = true;
    if (event.type == SDL_MULTIGESTURE) return pinch(event.mgesture);
    follow_pointer(event);
    ImGui_ImplSDL2_ProcessEvent(&event);
  }

  void draw(float dots_per_inch) {
    const std::shared_ptr<const HeatNow> now = app_.look(wall_clock_s());
    int width = 0;
    int height = 0;
    SDL_GL_GetDrawableSize(window_, &width, &height);
    const Wishes wishes =
        drawing_.frame(*now, app_.state(), {width, height, dots_per_inch, [this] { begin_frame(); }, page_points()});
    SDL_GL_SwapWindow(window_);
    ++frames;
    // One drag is one gesture, so that undo takes it back as a whole.
    const bool active = ImGui::IsAnyItemActive();
    if (active && !was_active_) ++gesture_;
    was_active_ = active;
    if (!wishes.empty()) frames_due = std::max(frames_due, 2);
    app_.grant(wishes, active ? gesture_ : 0);
    if (const std::string fault = app_.save_settings(); !fault.empty()) spdlog::warn("{}", fault);
    version_ = now->version;
  }

  [[nodiscard]] bool has_news() { return app_.look(wall_clock_s())->version != version_; }
  long long frames = 0;

 private:
  /// The back end asks SDL where the pointer is, which is stale on some X servers while a button is held: what the
  /// events say is right everywhere.
  void follow_pointer(const SDL_Event& event) {
    if (event.type == SDL_MOUSEMOTION) {
      pointer_ = in_pixels(event.motion.x, event.motion.y);
    } else if (event.type == SDL_MOUSEBUTTONDOWN || event.type == SDL_MOUSEBUTTONUP) {
      pointer_ = in_pixels(event.button.x, event.button.y);
    } else if (event.type == SDL_WINDOWEVENT && event.window.event == SDL_WINDOWEVENT_LEAVE) {
      if (!ImGui::IsAnyMouseDown()) pointer_ = {-FLT_MAX, -FLT_MAX};
    }
  }

  /// Two fingers that draw apart bring the wall nearer, as the wheel does; the toolkit sees no more than that.
  void pinch(const SDL_MultiGestureEvent& event) {
    constexpr float turns_a_screen = 12.0F;  // of the wheel, for fingers that draw apart by the screen's width
    if (event.numFingers == 2) ImGui::GetIO().MouseWheel += turns_a_screen * event.dDist;
  }

  /// Of a page: pixels a CSS pixel, in which people's devices say how large things have to be.
  [[nodiscard]] static float page_points() {
#ifdef __EMSCRIPTEN__
    return page::pixel_ratio();
#else
    return 0.0F;
#endif
  }

  /// Everything is laid out in pixels; where the display is fine, windows and pointers count in larger points.
  [[nodiscard]] ImVec2 in_pixels(int x, int y) const {
    return {static_cast<float>(x) * pixels_a_point_, static_cast<float>(y) * pixels_a_point_};
  }

  void begin_frame() {
    ImGui_ImplSDL2_NewFrame();
    ImGuiIO& io = ImGui::GetIO();
    io.DisplaySize = {io.DisplaySize.x * io.DisplayFramebufferScale.x, io.DisplaySize.y * io.DisplayFramebufferScale.y};
    if (io.DisplayFramebufferScale.x > 0.0F) pixels_a_point_ = io.DisplayFramebufferScale.x;
    io.DisplayFramebufferScale = {1.0F, 1.0F};
    io.MousePos = pointer_;
  }

  /// True when the key was a command, which the toolkit shall not see.
  bool key(const SDL_KeyboardEvent& event) {
    const ImGuiIO& io = ImGui::GetIO();
    const KeyPress press{event.keysym.sym, (event.keysym.mod & KMOD_CTRL) != 0, (event.keysym.mod & KMOD_SHIFT) != 0};
    const auto command = key_command(press, app_.key_context(io.WantTextInput, false));
    if (!command) return false;
    const bool repeats =
        *command == KeyCommand::single_step || *command == KeyCommand::undo || *command == KeyCommand::redo;
    if (event.repeat == 0 || repeats) app_.press(*command, io.WantTextInput);
    return *command != KeyCommand::leave;  // Esc also leaves the toolkit's fields and lists
  }

  SDL_Window* window_;
  App& app_;
  Drawing& drawing_;
  long long version_ = -1;
  unsigned gesture_ = 0;
  bool was_active_ = false;
  ImVec2 pointer_{-FLT_MAX, -FLT_MAX};
  float pixels_a_point_ = 1.0F;
};

}  // namespace

/// The loop with all that it needs, for as long as it runs.
struct Window::Running {
  Running(Impl& window, App& the_app, Drawing& drawing)
      : impl(window), app(the_app), loop(window.window, the_app, drawing) {}

  /// One turn: what has come in, and a frame if one is due. May wait for an event where nothing is.
  void turn(bool may_wait) {
    SDL_Event event;
    const int wait_ms = may_wait && loop.frames_due == 0 ? longest_wait_ms : 0;
    bool got = SDL_WaitEventTimeout(&event, wait_ms) != 0;
    for (; got; got = SDL_PollEvent(&event) != 0) {
      if (event.type == impl.wake_event) {
        impl.wake_sent = false;
        loop.frames_due = std::max(loop.frames_due, 1);
      } else {
        loop.event(event);
        // The toolkit sees keys as they are when a frame begins: a quick press must not come and go between two.
        if (event.type == SDL_KEYDOWN) break;
      }
    }
    if (loop.frames_due == 0 && (loop.has_news() || ImGui::GetIO().WantTextInput)) loop.frames_due = 1;
    if (loop.frames_due == 0) return;
    --loop.frames_due;
    loop.draw(impl.dots_per_inch());
    const WindowWishes wishes = app.take_window_wishes();
    if (wishes.full_screen) impl.set_full_screen(!impl.full_screen);
    if (wishes.presenting_changed) impl.set_full_screen(app.state().presenting);
  }

  Impl& impl;
  App& app;
  Loop loop;
};

#ifdef __EMSCRIPTEN__

/// The browser calls a function without arguments; it outlives every call of run().
std::optional<Window::Running>& Window::on_page() {
  static std::optional<Running> running;
  return running;
}

void Window::pause() {
  emscripten_cancel_main_loop();
  on_page().reset();
  ImGui_ImplSDL2_Shutdown();
}

#endif

void Window::run(App& app, Drawing& drawing) {
  ImGui_ImplSDL2_InitForOpenGL(impl_->window, impl_->context);
  // Space pauses the experiment; Enter presses the control that has the keyboard.
  ImGui::GetIO().KeyMap[ImGuiKey_Space] = SDL_SCANCODE_RETURN;
#ifdef __EMSCRIPTEN__
  on_page().emplace(*impl_, app, drawing);
  emscripten_set_main_loop(
      [] {
        on_page()->app.take_turn(page_turn_s);
        on_page()->turn(false);
      },
      0, false);
#else
  Running running(*impl_, app, drawing);
  const double began_s = wall_clock_s();
  while (!running.loop.quit) running.turn(true);
  spdlog::debug("{} frames in {:.1f} s", running.loop.frames, wall_clock_s() - began_s);
  ImGui_ImplSDL2_Shutdown();
#endif
}

}  // namespace warmbay::render
