// OpenGL without a display: EGL on Mesa's surfaceless platform first, then on the first device that EGL lists
// (EGL_EXT_platform_device, what vendors' drivers offer), with a context that needs no surface.

#include "render/gl/headless_gl.hpp"

#include <EGL/egl.h>
#include <EGL/eglext.h>
#include <fmt/format.h>
#include <glad/gl.h>

#include <array>
#include <string_view>

namespace warmbay::render::gl {

namespace {

/// Ended once, when the last context on it is gone; not at all where somebody else has opened it.
struct Display {
  Display(EGLDisplay opened, bool ours) : id(opened), is_ours(ours) {}
  ~Display() {
    if (is_ours) eglTerminate(id);
  }
  Display(const Display&) = delete;
  Display& operator=(const Display&) = delete;
  EGLDisplay id;
  bool is_ours;
};

}  // namespace

struct HeadlessGl::Impl {
  std::shared_ptr<Display> display;
  EGLContext context = EGL_NO_CONTEXT;
  bool shares = false;  // its objects, with those that another() makes

  explicit Impl(std::shared_ptr<Display> on) : display(std::move(on)) {}
  ~Impl() {
    if (eglGetCurrentContext() == context) eglMakeCurrent(display->id, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    if (context != EGL_NO_CONTEXT) eglDestroyContext(display->id, context);
  }
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;

  /// with: whose objects it shares, or none. False with one line in `error`.
  bool make(EGLContext with, std::string& error);
  bool make_current(std::string& error) const;
};

namespace {

bool has(const char* list, std::string_view name) {
  return list != nullptr && std::string_view(list).find(name) != std::string_view::npos;
}

template <class Function>
Function entry(const char* name) {
  return reinterpret_cast<Function>(eglGetProcAddress(name));  // NOLINT: how EGL hands its functions out
}

EGLDisplay surfaceless_display(const char* extensions) {
  if (!has(extensions, "EGL_MESA_platform_surfaceless")) return EGL_NO_DISPLAY;
  const auto get = entry<PFNEGLGETPLATFORMDISPLAYEXTPROC>("eglGetPlatformDisplayEXT");
  return get == nullptr ? EGL_NO_DISPLAY : get(EGL_PLATFORM_SURFACELESS_MESA, nullptr, nullptr);
}

EGLDisplay device_display(const char* extensions) {
  if (!has(extensions, "EGL_EXT_platform_device")) return EGL_NO_DISPLAY;
  const auto query = entry<PFNEGLQUERYDEVICESEXTPROC>("eglQueryDevicesEXT");
  const auto get = entry<PFNEGLGETPLATFORMDISPLAYEXTPROC>("eglGetPlatformDisplayEXT");
  EGLDeviceEXT device = nullptr;
  EGLint count = 0;
  if (query == nullptr || get == nullptr || query(1, &device, &count) != EGL_TRUE || count < 1) return EGL_NO_DISPLAY;
  return get(EGL_PLATFORM_DEVICE_EXT, device, nullptr);
}

bool initialise(EGLDisplay display) {
  return display != EGL_NO_DISPLAY && eglInitialize(display, nullptr, nullptr) == EGL_TRUE;
}

EGLDisplay open_display() {
  const char* extensions = eglQueryString(EGL_NO_DISPLAY, EGL_EXTENSIONS);
  if (const EGLDisplay display = surfaceless_display(extensions); initialise(display)) return display;
  if (const EGLDisplay display = device_display(extensions); initialise(display)) return display;
  return EGL_NO_DISPLAY;
}

/// with: whose objects it shares, or none.
EGLContext open_context(EGLDisplay display, EGLContext with) {
  if (eglBindAPI(EGL_OPENGL_API) != EGL_TRUE) return EGL_NO_CONTEXT;
  const std::array<EGLint, 5> wanted{EGL_SURFACE_TYPE, 0, EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_NONE};
  EGLConfig config = nullptr;
  EGLint count = 0;
  if (eglChooseConfig(display, wanted.data(), &config, 1, &count) != EGL_TRUE || count < 1) {
    config = EGL_NO_CONFIG_KHR;
  }
  for (const auto& [major, minor] : {std::pair{4, 3}, std::pair{3, 3}}) {
    const std::array<EGLint, 7> version{
        EGL_CONTEXT_MAJOR_VERSION,           major,   EGL_CONTEXT_MINOR_VERSION, minor, EGL_CONTEXT_OPENGL_PROFILE_MASK,
        EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT, EGL_NONE};
    const EGLContext context = eglCreateContext(display, config, with, version.data());
    if (context != EGL_NO_CONTEXT) return context;
  }
  return EGL_NO_CONTEXT;
}

}  // namespace

HeadlessGl::HeadlessGl(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
HeadlessGl::~HeadlessGl() = default;

void HeadlessGl::enter() const {
  if (eglGetCurrentContext() == impl_->context) return;
  eglBindAPI(EGL_OPENGL_API);
  eglMakeCurrent(impl_->display->id, EGL_NO_SURFACE, EGL_NO_SURFACE, impl_->context);
}

void HeadlessGl::leave() const {
  eglMakeCurrent(impl_->display->id, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
}

bool HeadlessGl::Impl::make(EGLContext with, std::string& error) {
  context = open_context(display->id, with);
  if (context == EGL_NO_CONTEXT) {
    error = fmt::format("no OpenGL without a display here: EGL gives no OpenGL 3.3 context (error {:#06x})",
                        static_cast<unsigned>(eglGetError()));
    return false;
  }
  return true;
}

bool HeadlessGl::Impl::make_current(std::string& error) const {
  if (eglMakeCurrent(display->id, EGL_NO_SURFACE, EGL_NO_SURFACE, context) != EGL_TRUE) {
    error = "no OpenGL without a display here: EGL's context needs a surface";
    return false;
  }
  return true;
}

std::unique_ptr<HeadlessGl> HeadlessGl::open(std::string& error) {
  const EGLDisplay display = open_display();
  if (display == EGL_NO_DISPLAY) {
    error = "no OpenGL without a display here: EGL offers neither a surfaceless platform nor a device";
    return nullptr;
  }
  auto impl = std::make_unique<Impl>(std::make_shared<Display>(display, true));
  if (!impl->make(EGL_NO_CONTEXT, error) || !impl->make_current(error)) return nullptr;
  if (gladLoadGL(reinterpret_cast<GLADloadfunc>(eglGetProcAddress)) == 0) {  // NOLINT: the loader's own type
    error = "no OpenGL without a display here: its functions could not be loaded";
    return nullptr;
  }
  return std::unique_ptr<HeadlessGl>(new HeadlessGl(std::move(impl)));  // NOLINT: the constructor is private
}

std::unique_ptr<HeadlessGl> HeadlessGl::beside_current(std::string& error) {
  eglBindAPI(EGL_OPENGL_API);
  const EGLDisplay display = eglGetCurrentDisplay();
  const EGLContext current = eglGetCurrentContext();
  if (display == EGL_NO_DISPLAY || current == EGL_NO_CONTEXT) {
    error = "nothing can be shared with the drawing: its OpenGL was not opened by EGL";
    return nullptr;
  }
  auto impl = std::make_unique<Impl>(std::make_shared<Display>(display, false));
  impl->shares = true;
  if (!impl->make(current, error)) return nullptr;
  return std::unique_ptr<HeadlessGl>(new HeadlessGl(std::move(impl)));  // NOLINT: the constructor is private
}

std::unique_ptr<HeadlessGl> HeadlessGl::another(std::string& error) const {
  auto impl = std::make_unique<Impl>(impl_->display);
  impl->shares = impl_->shares;
  if (!impl->make(impl_->shares ? impl_->context : EGL_NO_CONTEXT, error)) return nullptr;
  if (!impl->make_current(error)) return nullptr;
  return std::unique_ptr<HeadlessGl>(new HeadlessGl(std::move(impl)));  // NOLINT: the constructor is private
}

}  // namespace warmbay::render::gl
