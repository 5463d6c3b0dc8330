// Colour maps: what is read from their files, and how they are looked up.

#include "scenes/data/palette.hpp"

#include "tests/support/temporary_folder.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

TEST_CASE("a colour map that is broken is said to be, with its place") {
  const tests::TemporaryFolder folder;
  std::vector<scenes::Fault> faults;
  const auto read = [&](const std::string& content) {
    faults.clear();
    return scenes::read_palette(folder.write("p.toml", content), faults);
  };
  CHECK(read("rgb = [[0.0, 0.0, 0.0], [1.0, 0.5, 0.25]]").colours.size() == 2);
  CHECK(faults.empty());
  CHECK(read("rgb = [[0.0, 0.0, 0.0], [1.0, 0.5, 0.25]]").name == "p");
  CHECK(read("name = 'ramp'\nrgb = [[0.0, 0.0, 0.0], [1.0, 0.5, 0.25]]").name == "ramp");
  for (const char* content : {"", "rgb = [[0.0, 0.0, 0.0]]", "rgb = [[0.0, 0.0], [1.0, 1.0]]",
                              "rgb = [[0.0, 0.0, 2.0], [0.0, 0.0, 0.0]]", "rgb = [", "rgb = [\"red\", \"blue\"]"}) {
    CHECK(read(content).colours.empty());
    CHECK(faults.size() == 1);
  }
  faults.clear();
  CHECK(scenes::read_palette(folder.path() / "missing.toml", faults).colours.empty());
  CHECK(faults.size() == 1);
}

TEST_CASE("a colour map gives its ends at its ends and mixes between") {
  const scenes::Palette palette{{{0.0, 0.0, 0.0}, {1.0, 0.5, 0.0}, {1.0, 1.0, 1.0}}};
  CHECK(palette.at(-1.0).r == 0.0);
  CHECK(palette.at(0.25).r == Approx(0.5));
  CHECK(palette.at(0.5).g == Approx(0.5));
  CHECK(palette.at(2.0).b == 1.0);
}
