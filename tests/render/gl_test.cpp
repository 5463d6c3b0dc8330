#include <sys/resource.h>

#include <fstream>
#include <sstream>

#include <glad/gl.h>

#include "render/gl/program.hpp"
#include "render/gl/quality.hpp"
#include "render/shot.hpp"
#include "tests/render/context.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay::render;

namespace {

std::filesystem::path written(const std::string& name, const std::string& text) {
  static const warmbay::tests::TemporaryFolder folder;
  return folder.write(name, text);
}

const std::string good_vertex = "#version 330 core\nvoid main() { gl_Position = vec4(0.0); }\n";
const std::string good_fragment = "#version 330 core\nout vec4 c;\nvoid main() { c = vec4(1.0); }\n";

}  // namespace

TEST_CASE("a shader that does not compile is told in one line with its file and line") {
  const auto context = testing::headless_or_skip();
  if (!context) return;
  const auto vertex = written("warmbay_good.vert", good_vertex);
  const auto bad =
      written("warmbay_bad.frag", "#version 330 core\nout vec4 c;\nvoid main() {\n  c = vec4(nothing);\n}\n");
  const gl::Program program(vertex, {bad});
  CHECK_FALSE(program.ok());
  CHECK(program.error().rfind(bad.string() + ":4: ", 0) == 0);
  CHECK(program.error().find("nothing") != std::string::npos);
  CHECK(program.error().find('\n') == std::string::npos);
}

TEST_CASE("in a fragment shader of two files the fault is told in the file it is in") {
  const auto context = testing::headless_or_skip();
  if (!context) return;
  const auto vertex = written("warmbay_good.vert", good_vertex);
  const auto shared = written("warmbay_shared.glsl", "#version 330 core\nfloat twice(float x) { return 2.0 * x; }\n");
  const auto own = written("warmbay_own.frag", "out vec4 c;\nvoid main() { c = vec4(thrice(0.5)); }\n");
  const gl::Program program(vertex, {shared, own});
  CHECK_FALSE(program.ok());
  INFO(program.error());
  CHECK(program.error().rfind(own.string() + ":2: ", 0) == 0);
}

TEST_CASE("a shader that is not there is told by name") {
  const auto context = testing::headless_or_skip();
  if (!context) return;
  const gl::Program program("/no/such/folder/wall.vert", {"/no/such/folder/wall.frag"});
  CHECK_FALSE(program.ok());
  CHECK(program.error() == "/no/such/folder/wall.vert: this shader cannot be read");
}

TEST_CASE("a faulty change of a shader keeps the last good program") {
  const auto context = testing::headless_or_skip();
  if (!context) return;
  const auto vertex = written("warmbay_good.vert", good_vertex);
  const auto fragment = written("warmbay_changed.frag", good_fragment);
  gl::Program program(vertex, {fragment});
  REQUIRE(program.ok());
  CHECK(program.error().empty());
  written("warmbay_changed.frag", "#version 330 core\nvoid main() { oops }\n");
  CHECK_FALSE(program.reload());
  CHECK(program.ok());
  CHECK_FALSE(program.error().empty());
  written("warmbay_changed.frag", good_fragment);
  CHECK(program.reload());
  CHECK(program.error().empty());
}

TEST_CASE("software renderers are told from graphics cards by name") {
  CHECK(gl::quality_of("llvmpipe (LLVM 15.0.6, 256 bits)").tier == gl::Tier::software);
  CHECK(gl::quality_of("softpipe").tier == gl::Tier::software);
  CHECK(gl::quality_of("Software Rasterizer").tier == gl::Tier::software);
  CHECK(gl::quality_of("Mesa Intel(R) Graphics").tier == gl::Tier::card);
  CHECK(gl::quality_of("llvmpipe").samples == 0);
  CHECK(gl::quality_of("some card").samples > 1);
}

TEST_CASE("a picture comes the right way up, with and without multisampling") {
  const auto context = testing::headless_or_skip();
  if (!context) return;
  for (const int samples : {0, 4}) {
    std::string error;
    const Picture picture = draw_picture(
        {8, 4, samples},
        [] {
          glClearColor(0.0F, 0.0F, 1.0F, 1.0F);
          glClear(GL_COLOR_BUFFER_BIT);
          glEnable(GL_SCISSOR_TEST);
          glScissor(0, 3, 2, 1);  // the upper left corner: OpenGL counts from below
          glClearColor(1.0F, 0.0F, 0.0F, 0.0F);
          glClear(GL_COLOR_BUFFER_BIT);
          glDisable(GL_SCISSOR_TEST);
        },
        error);
    REQUIRE(error.empty());
    REQUIRE(picture.rgba.size() == 8 * 4 * 4);
    CHECK(std::vector<int>(picture.rgba.begin(), picture.rgba.begin() + 4) == std::vector<int>{255, 0, 0, 255});
    CHECK(std::vector<int>(picture.rgba.end() - 4, picture.rgba.end()) == std::vector<int>{0, 0, 255, 255});
  }
}

TEST_CASE("a PNG is written whole or not at all") {
  const Picture picture{2, 1, {255, 0, 0, 255, 0, 255, 0, 255}};
  const warmbay::tests::TemporaryFolder folder;
  const auto file = folder.path() / "shot.png";
  CHECK(write_png(picture, file).empty());
  std::ifstream in(file, std::ios::binary);
  std::string start(8, '\0');
  in.read(start.data(), 8);
  CHECK(start == "\x89PNG\r\n\x1a\n");

  const std::string refused = write_png(picture, "/no/such/folder/shot.png");
  CHECK(refused.find("/no/such/folder/shot.png: cannot be written: ") == 0);
  CHECK_FALSE(write_png({}, file).empty());
}

TEST_CASE("a full disk is told, and leaves nothing behind") {
  // A limit on the size of files stands for the disk: the same call fails, with EFBIG instead of ENOSPC.
  const warmbay::tests::TemporaryFolder folder;
  const Picture picture{2, 1, {255, 0, 0, 255, 0, 255, 0, 255}};
  struct rlimit before {};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  const struct rlimit tiny { 16, before.rlim_max };
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &tiny) == 0);
  const std::string told = write_png(picture, folder.path() / "shot.png");
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &before) == 0);
  CHECK(told.find((folder.path() / "shot.png").string() + ": cannot be written: ") == 0);
  CHECK(told.find('\n') == std::string::npos);
  CHECK(std::filesystem::is_empty(folder.path()));
}
