#include "render/palette.hpp"

#include <filesystem>
#include <fstream>

#include "tests/support/temporary_folder.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay::render;

namespace {

const std::filesystem::path palettes = std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets/palettes";

std::filesystem::path written(const std::string& name, const std::string& text) {
  static const warmbay::tests::TemporaryFolder folder;
  return folder.write(name, text);
}

}  // namespace

TEST_CASE("every colour map that ships rises strictly in lightness") {
  const auto names = Palette::names_in(palettes);
  REQUIRE(names.size() >= 4);
  CHECK(names.front() == Palette::default_name);
  for (const auto& name : names) {
    std::string error;
    const auto palette = Palette::read(palettes / (name + ".toml"), error);
    INFO(name << " " << error);
    REQUIRE(palette);
    CHECK(palette->name() == name);
    for (std::size_t i = 1; i < palette->entries().size(); ++i) {
      INFO("entry " << i);
      REQUIRE(lightness_of(palette->entries()[i]) > lightness_of(palette->entries()[i - 1]));
    }
    // From the coldest to the hottest there is enough of it to be told apart on a projector.
    CHECK(lightness_of(palette->at(1.0)) - lightness_of(palette->at(0.0)) > 70.0);
    // The coldest wall still stands out from the dark background of the view, which has L* 8.
    CHECK(lightness_of(palette->at(0.0)) > 9.0);
  }
}

TEST_CASE("lightness is that of CIE 1976") {
  CHECK(lightness_of({1.0F, 1.0F, 1.0F}) == Approx(100.0).margin(1e-6));
  CHECK(lightness_of({0.0F, 0.0F, 0.0F}) == Approx(0.0).margin(1e-9));
  // sRGB grey 119 of 255 is L* 50, the middle grey (CIE 15 with the transfer function of IEC 61966-2-1).
  CHECK(lightness_of(glm::vec3(119.0F / 255.0F)) == Approx(50.0).margin(0.1));
}

TEST_CASE("a colour map is looked up between its entries and held at its ends") {
  std::string error;
  const auto palette =
      Palette::read(written("warmbay_ramp.toml", "rgb = [[0, 0, 0], [1, 0.5, 0], [1, 1, 1]]\n"), error);
  REQUIRE(palette);
  CHECK(palette->name() == "warmbay_ramp");
  CHECK(palette->at(0.25).r == Approx(0.5));
  CHECK(palette->at(0.5).g == Approx(0.5));
  CHECK(palette->at(-3.0) == palette->at(0.0));
  CHECK(palette->at(7.0).b == Approx(1.0));
}

TEST_CASE("a faulty colour map is refused in one line that says where") {
  std::string error;
  const auto three = written("warmbay_bad.toml", "name = 'bad'\nrgb = [\n  [0, 0, 0],\n  [1, 2, 0],\n]\n");
  CHECK_FALSE(Palette::read(three, error));
  CHECK(error == three.string() + ":4:3: not a colour; [r, g, b] with numbers from 0 to 1 was expected");
  CHECK_FALSE(Palette::read(written("warmbay_bad.toml", "rgb = [[0, 0, 0]]\n"), error));
  CHECK(error.find("two or more") != std::string::npos);
  CHECK_FALSE(Palette::read(written("warmbay_bad.toml", "rgb = [[0, 0\n"), error));
  CHECK(error.find("warmbay_bad.toml:") != std::string::npos);
  // Nested so deep that the parser's tables would end the stack when they are freed.
  std::string deep = "a";
  for (int n = 0; n < 200000; ++n) deep += ".a";
  CHECK_FALSE(Palette::read(written("warmbay_deep.toml", deep + " = 1\n"), error));
  CHECK(error.find("more than 64 deep") != std::string::npos);
  CHECK_FALSE(Palette::read(palettes / "no-such-map.toml", error));
  CHECK(error.find("no-such-map.toml") != std::string::npos);
  CHECK(error.find('\n') == std::string::npos);
}
