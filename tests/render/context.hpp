#pragma once
// The OpenGL that a test of the window draws with.

#include <memory>
#include <string>

#include "render/gl/headless_gl.hpp"
#include "tests/support/skip.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render::testing {

/// A context without a display. Where there is none the test is skipped, having checked that one line says why;
/// it must return then.
inline std::unique_ptr<gl::HeadlessGl> headless_or_skip() {
  std::string error;
  std::unique_ptr<gl::HeadlessGl> context = gl::HeadlessGl::open(error);
  if (context) return context;
  CHECK_FALSE(error.empty());
  CHECK(error.find('\n') == std::string::npos);
  tests::skip("no OpenGL without a display here: " + error);
  return context;
}

}  // namespace warmbay::render::testing
