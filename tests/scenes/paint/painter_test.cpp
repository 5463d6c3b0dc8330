// Paint is exact for any grid: every boundary is a plane, every voxel of one make, and the same at any size of voxel.

#include "scenes/paint/painter.hpp"

#include <map>
#include <sstream>

#include "scenes/file/scene_file.hpp"
#include "scenes/paint/cable_fit.hpp"
#include "scenes/paint/grid_lines.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

scenes::Scene sink() {
  const auto read = scenes::read_scene(test_scene("kitchen-sink.toml"), shipped_data_files());
  INFO(lines_of(read.faults));
  REQUIRE(read.scene);
  return *read.scene;
}

/// Volume of each make, m³, by name; surroundings count as "air of NAME".
std::map<std::string, double> volumes(const sim::Wall& wall) {
  std::map<std::string, double> sum;
  const auto& g = wall.grid;
  for (int k = 0; k < g.nz(); ++k) {
    for (int j = 0; j < g.ny(); ++j) {
      for (int i = 0; i < g.nx(); ++i) {
        const auto at = [](const std::vector<double>& edges, int n) {
          return edges[static_cast<std::size_t>(n) + 1] - edges[static_cast<std::size_t>(n)];
        };
        const auto voxel = wall.voxels[g.at(i, j, k)];
        const auto name =
            voxel.outside ? "air of " + wall.surroundings[voxel.index].name : wall.materials[voxel.index].name;
        sum[name] += at(g.x_m, i) * at(g.y_m, j) * at(g.z_m, k);
      }
    }
  }
  return sum;
}

std::string make_at(const sim::Wall& wall, double x_mm, double y_mm, double z_mm) {
  const auto& g = wall.grid;
  const auto voxel = wall.voxels[g.at(g.find(sim::Axis::x, x_mm / 1e3), g.find(sim::Axis::y, y_mm / 1e3),
                                      g.find(sim::Axis::z, z_mm / 1e3))];
  return voxel.outside ? "air of " + wall.surroundings[voxel.index].name : wall.materials[voxel.index].name;
}

bool has_plane(const std::vector<double>& edges_m, double plane_m) {
  return std::any_of(edges_m.begin(), edges_m.end(), [&](double e) { return std::abs(e - plane_m) < 2e-6; });
}

scenes::Scene read_text(const std::string& text) {
  const auto read = scenes::read_scene_text(text, "scene", shipped_data_files());
  INFO(lines_of(read.faults));
  REQUIRE(read.scene);
  return *read.scene;
}

/// A cable along x through a gap of still air of the given height and depth in brick.
std::string gap_scene(double height_mm, double depth_mm, const std::string& more = "") {
  std::ostringstream text;
  text << "format = 1\n[wall]\nwidth_mm = 100.0\nheight_mm = 100.0\nstart_c = 20\n"
       << "[[wall.layer]]\nmaterial = \"brick\"\nthickness_mm = 100.0\n"
       << "[[box]]\nmaterial = \"still air\"\nx_mm = [0.0, 100.0]\n"
       << "y_mm = [" << 50.0 - height_mm / 2 << ", " << 50.0 + height_mm / 2 << "]\n"
       << "z_mm = [" << 50.0 - depth_mm / 2 << ", " << 50.0 + depth_mm / 2 << "]\n"
       << "[[cable]]\nname = \"feed\"\ntype = \"flat 2x1.0+1.0\"\n"
       << "route_mm = [[0.0, 50.0, 50.0], [100.0, 50.0, 50.0]]\n"
       << more;
  return text.str();
}

sim::Axis flat_of(const std::string& text) {
  return scenes::paint(read_text(text), shipped_data_files())->cables[0].flat[0];
}

}  // namespace

TEST_CASE("layers, studs and boxes land where the scene says, the later box over the earlier") {
  const auto wall = scenes::paint(sink(), shipped_data_files());
  CHECK(make_at(*wall, 450, 100, 5) == "gypsum board");
  CHECK(make_at(*wall, 10, 100, 50) == "softwood");  // the first stud, cut by the wall's edge
  CHECK(make_at(*wall, 18.5, 100, 50) == "softwood");
  CHECK(make_at(*wall, 19.5, 100, 50) == "glass fibre batt");
  CHECK(make_at(*wall, 388, 100, 50) == "softwood");  // -19 + 406 = 387 mm
  CHECK(make_at(*wall, 386, 100, 50) == "glass fibre batt");
  CHECK(make_at(*wall, 450, 600, 150) == "dense board");
  CHECK(make_at(*wall, 450, 600, 110) == "still air");
  CHECK(make_at(*wall, 450, 609, 110) == "dense board");
  CHECK(make_at(*wall, 700, 1000, 30) == "air of room");
  CHECK(make_at(*wall, 700, 1000, 61) == "glass fibre batt");
}

TEST_CASE("volumes are exact and do not depend on the size of the voxels") {
  auto scene = sink();
  const auto usual = volumes(*scenes::paint(scene, shipped_data_files()));
  const double recess = 0.3 * 0.3 * 0.06;
  CHECK(usual.at("air of room") == Approx(recess).epsilon(1e-9));
  CHECK(usual.at("gypsum board") == Approx(0.0127 * (0.9 * 1.2 - 0.3 * 0.3)).epsilon(1e-9));
  CHECK(usual.at("still air") == Approx(0.9 * 0.016 * 0.016).epsilon(1e-9));
  const double studs_m = 0.019 + 0.038 + 0.038;  // the third at 793 mm
  CHECK(usual.at("softwood") == Approx(0.089 * 1.2 * studs_m - 0.038 * 0.3 * (0.06 - 0.0127)).epsilon(1e-9));
  for (const double finer : {0.37, 1.9}) {
    scene.grid.coarse_m *= finer;
    const auto other = volumes(*scenes::paint(scene, shipped_data_files()));
    REQUIRE(other.size() == usual.size());
    for (const auto& [name, volume] : usual) {
      INFO(name);
      CHECK(other.at(name) == Approx(volume).epsilon(1e-9));
    }
  }
}

TEST_CASE("sheaths, corners and boxes are grid planes; voxels are fine across a cable") {
  const auto scene = sink();
  const auto wall = scenes::paint(scene, shipped_data_files());
  const auto& grid = wall->grid;
  CHECK(has_plane(grid.y_m, 0.6 - 0.0103 / 2));  // the feed's long side
  CHECK(has_plane(grid.z_m, 0.1097 + 0.003));    // and its short one
  CHECK(has_plane(grid.x_m, 0.3));               // where the riser turns ...
  CHECK(has_plane(grid.y_m, 0.1));               // ... and where it ends
  CHECK(has_plane(grid.x_m, 0.387));
  const auto widest_between = [](const std::vector<double>& edges_m, double from_m, double to_m) {
    double widest = 0.0;
    for (std::size_t i = 0; i + 1 < edges_m.size(); ++i) {
      const double middle = 0.5 * (edges_m[i] + edges_m[i + 1]);
      if (middle > from_m && middle < to_m) widest = std::max(widest, edges_m[i + 1] - edges_m[i]);
    }
    return widest;
  };
  CHECK(widest_between(grid.y_m, 0.592, 0.608) <= scene.grid.fine_m + 1e-9);
  CHECK(widest_between(grid.z_m, 0.1017, 0.1177) <= scene.grid.fine_m + 1e-9);
  CHECK(widest_between(grid.x_m, 0.6, 0.9) > 3.0 * scene.grid.fine_m);  // along the channel it stays coarse
}

TEST_CASE("a cable that does not say lies with its short side across the tighter gap") {
  CHECK(flat_of(gap_scene(30.0, 20.0)) == sim::Axis::z);
  CHECK(flat_of(gap_scene(20.0, 30.0)) == sim::Axis::y);
  CHECK(flat_of(gap_scene(25.0, 25.0)) == sim::Axis::z);  // equal: z
  CHECK(flat_of(gap_scene(30.0, 20.0, "flat = \"y\"\n")) == sim::Axis::y);
  CHECK(flat_of(gap_scene(30.0, 20.0, "flat = \"x\"\n")) == sim::Axis::z);  // its own axis: as if it did not say
}

TEST_CASE("a cable on the boundary between two layers lies flat against it") {
  auto scene = read_text(gap_scene(20.0, 30.0));
  scene.boxes.clear();
  scene.wall.layers = {{"a", "brick", 0.05, {}}, {"b", "eps", 0.05, {}}};
  CHECK(scenes::free_space_m(scene, {0.05, 0.05, 0.05}, sim::Axis::z) == Approx(0.0).margin(1e-9));
  CHECK(scenes::default_flat(scene, {0.0, 0.05, 0.05}, {0.1, 0.05, 0.05}) == sim::Axis::z);
}

TEST_CASE("a wall knows its damage, its mains, every device, what presses on its cables and what may slip from them") {
  const auto& data = shipped_data_files();
  const auto wall = scenes::paint(sink(), data);
  CHECK(wall->damage == data.damage);
  CHECK(wall->damage.melting_copper_k > 1300.0);
  CHECK(wall->mains.voltage_v == 120.0);
  CHECK(wall->mains.source_ohm == data.source_ohm);
  CHECK(wall->mains.source_ohm > 0.0);
  CHECK(wall->devices == data.devices);
  CHECK(wall->devices.size() > 10);
  CHECK(wall->cables[0].squeeze == sim::Squeeze::staple);
  CHECK(wall->cables[0].squeeze_at_m == 0.4);
  CHECK(wall->cables[1].squeeze == sim::Squeeze::pinched);
  CHECK(wall->cables[1].squeeze_at_m == Approx(0.25));  // the middle of 300 + 200 mm
  CHECK(wall->cables[1].type.insulation.damage == scenes::material_of({}, data, "xlpe").damage);
  CHECK(wall->thermocouples[0].slips);
  CHECK_FALSE(wall->thermocouples[1].slips);
  // Its own glass fibre hides the shipped one, but heat drives the binder out all the same; nothing does it to its
  // board.
  for (const auto& material : wall->materials) {
    INFO(material.name);
    const bool changes = material.name != "dense board" && material.name != "still air";
    CHECK((material.damage != nullptr) == changes);
  }
}

TEST_CASE("every scene that ships paints, with its cables and instruments in it") {
  for (const auto& file : shipped_scenes()) {
    INFO(file);
    const auto read = scenes::read_scene(file, shipped_data_files());
    INFO(lines_of(read.faults));
    REQUIRE(read.scene);
    const auto wall = scenes::paint(*read.scene, shipped_data_files());
    CHECK(wall->cables.size() == read.scene->cables.size());
    CHECK(wall->thermocouples.size() == read.scene->thermocouples.size());
    CHECK(wall->voxels.size() == wall->grid.count());
    if (file.filename() == "laundry-wall.toml") {
      CHECK(wall->grid.count() >= 250000);
      CHECK(wall->grid.count() <= 330000);
    }
  }
}
