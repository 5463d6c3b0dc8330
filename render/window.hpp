#pragma once
// The window: SDL, its OpenGL context, and the loop that draws when something changed.

#include <memory>
#include <optional>
#include <string>

namespace warmbay::render {

class App;
class Drawing;

/// Why there is no window, in one line: what is the matter in plain words, what works all the same, and last what the
/// machine calls it (code; may be empty).
[[nodiscard]] std::string no_window(const std::string& why, const std::string& code);

/// SDL's video and one window with an OpenGL 3.3 core context or better, current on this thread.
class Window {
 public:
  /// nullptr when there is no display, or its OpenGL is too old; with one clear line in `error`.
  /// shares: the heat may want to share objects with it, which takes EGL's context where there is a choice.
  [[nodiscard]] static std::unique_ptr<Window> open(const std::string& title, int width, int height, bool shares,
                                                    std::string& error);
  ~Window();
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  /// Runs until the window is closed. Draws when an event or wake() says that something changed. On a page it returns
  /// at once and goes on between the browser's frames, to the page's end: everything must outlive it.
  void run(App& app, Drawing& drawing);
  /// On a page: run() no longer goes on, and may be called again, with another drawing.
  void pause();
  /// Asks for a frame; from any thread.
  void wake();

 private:
  struct Impl;
  struct Running;
  static std::optional<Running>& on_page();
  explicit Window(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::render
