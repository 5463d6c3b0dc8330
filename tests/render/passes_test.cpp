#include <algorithm>
#include <cmath>

#include "render/passes/cable_pass.hpp"
#include "render/passes/cable_shape.hpp"
#include "render/passes/field_sample.hpp"
#include "render/passes/hatch.hpp"
#include "render/passes/infrared_face.hpp"
#include "render/passes/wall_shape.hpp"
#include "render/scene_view.hpp"
#include "tests/render/view_wall.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::render;

namespace {

double area_m2(const Face& f) {
  return (f.u_m.to_m - f.u_m.from_m) * (f.v_m.to_m - f.v_m.from_m);
}

/// Area of the faces that look one way along an axis, m2.
double area_m2(const WallShape& shape, sim::Axis normal, bool positive) {
  double sum = 0.0;
  for (const Face& face : shape.faces) {
    if (face.normal == normal && face.positive == positive) sum += area_m2(face);
  }
  return sum;
}

CutBox whole(const sim::Wall& wall) {
  return {{0.0, 0.0, 0.0}, {wall.grid.x_m.back(), wall.grid.y_m.back(), wall.grid.z_m.back()}};
}

}  // namespace

TEST_CASE("the shape of a whole wall is its six faces") {
  const auto wall = test::three_bays();
  const WallShape shape = shape_of(*wall, whole(*wall), std::nullopt);
  const auto& g = wall->grid;
  for (const bool positive : {false, true}) {
    CHECK(area_m2(shape, sim::Axis::x, positive) == Approx(g.y_m.back() * g.z_m.back()));
    CHECK(area_m2(shape, sim::Axis::y, positive) == Approx(g.x_m.back() * g.z_m.back()));
    CHECK(area_m2(shape, sim::Axis::z, positive) == Approx(g.x_m.back() * g.y_m.back()));
  }
  CHECK(shape.creases.size() == 12);
}

TEST_CASE("what is opened and what surroundings cut away leaves closed surfaces") {
  const auto wall = test::three_bays_with_recess();
  CutBox kept = whole(*wall);
  kept.to_m[0] = 1.0;
  const WallShape shape = shape_of(*wall, kept, CutBox{{0.0, 0.25, 0.0}, {0.9, 0.8, test::cable_z_m}});
  // A closed surface shows as much one way as the other, along every axis.
  for (const auto axis : {sim::Axis::x, sim::Axis::y, sim::Axis::z}) {
    CHECK(area_m2(shape, axis, true) == Approx(area_m2(shape, axis, false)));
  }
  // The cut plane through the cable is there, is a cut, and shows more than one material.
  std::vector<int> materials;
  for (const Face& face : shape.faces) {
    if (face.normal == sim::Axis::z && !face.positive && face.at_m == test::cable_z_m) {
      CHECK(face.cut);
      materials.push_back(face.material);
    }
  }
  std::sort(materials.begin(), materials.end());
  CHECK(std::unique(materials.begin(), materials.end()) - materials.begin() >= 4);
  // The floor of the recess is a surface.
  const auto floor = std::find_if(shape.faces.begin(), shape.faces.end(), [](const Face& face) {
    return face.normal == sim::Axis::z && std::abs(face.at_m - 0.06) < 1e-9 && face.v_m.from_m > 0.5;
  });
  REQUIRE(floor != shape.faces.end());
  CHECK_FALSE(floor->cut);
}

TEST_CASE("boundaries run where the material changes and nowhere else") {
  const auto wall = test::three_bays();
  const WallShape shape = shape_of(*wall, whole(*wall), CutBox{{0.0, 0.0, 0.0}, {1.2, 0.8, 0.04}});
  const double studs_m = (1.2 - 0.038) / 3.0;
  int upright = 0;
  for (const Line& line : shape.boundaries) {
    if (line.from_m[2] != 0.04 || line.to_m[2] != 0.04 || line.from_m[0] != line.to_m[0]) continue;
    ++upright;
    const double in_bay_m = std::fmod(line.from_m[0] + 1e-9, studs_m);
    CHECK((in_bay_m < 1e-6 || std::abs(in_bay_m - 0.038) < 1e-6));
    CHECK(line.to_m[1] - line.from_m[1] == Approx(0.8));  // joined into one line
  }
  CHECK(upright == 6);  // both sides of the two inner studs, the inner sides of the outer ones
}

TEST_CASE("the first view opens the wall down to the middle of its cable") {
  const auto wall = test::three_bays();
  const ViewState view = first_view(*wall);
  REQUIRE(view.opened);
  CHECK(view.opened->to_m[2] == Approx(test::cable_z_m));
  CHECK(view.opened->from_m[1] < test::cable_y_m);
  CHECK(view.opened->to_m[1] > test::cable_y_m);
  // Seen from the first camera, nothing of the wall stands before the cable.
  const auto snapshot = test::warm(wall);
  const ViewSize size{1280, 720};
  for (const double x : {0.1, 0.6, 1.1}) {
    const auto place = SceneView::project(*wall, view, {x, test::cable_y_m, test::cable_z_m}, size);
    REQUIRE(place);
    const auto picked =
        SceneView::pick(*snapshot, view, static_cast<double>(place->x_px), static_cast<double>(place->y_px), size);
    REQUIRE(picked);
    CHECK(picked->point_m[2] == Approx(test::cable_z_m).margin(1e-5));
    CHECK(picked->point_m[0] == Approx(x).margin(1e-5));
  }
}

TEST_CASE("a point picked on the screen has its own temperature and material") {
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  const ViewSize size{900, 700};
  ViewState view = first_view(*wall);
  const auto check = [&](const sim::Vec3& p, const std::string& material) {
    const auto place = SceneView::project(*wall, view, p, size);
    REQUIRE(place);
    const auto picked =
        SceneView::pick(*snapshot, view, static_cast<double>(place->x_px), static_cast<double>(place->y_px), size);
    REQUIRE(picked);
    for (std::size_t a = 0; a < 3; ++a) CHECK(picked->point_m[a] == Approx(p[a]).margin(1e-5));
    CHECK(picked->temperature_k == Approx(test::formula_k(p)).margin(0.35));  // linear across voxels of 15 mm
    if (!material.empty()) CHECK(picked->material == material);
  };
  check({0.2, 0.5, test::cable_z_m}, "still air");
  check({0.6, 0.7, test::cable_z_m}, "loose cellulose");
  check({1.0, 0.5, test::cable_z_m}, "extruded polystyrene");
  check({0.40, 0.6, test::cable_z_m}, "softwood");
  check({0.6, 0.05, 0.0}, "gypsum board");
  CHECK_FALSE(SceneView::pick(*snapshot, view, 2.0, 2.0, size));
}

TEST_CASE("surroundings do not colour the wall beside them") {
  const auto wall = test::three_bays_with_recess();
  const auto snapshot = test::even(wall, 320.0);  // their own air is at 278 K
  for (const sim::Vec3& p : {sim::Vec3{1.0, 0.7, 0.06}, sim::Vec3{1.0, 0.6, 0.03}, sim::Vec3{1.0, 0.7, 0.0605}}) {
    const auto t_k = temperature_at(*snapshot, p);
    REQUIRE(t_k);
    CHECK(*t_k == Approx(320.0));
  }
  CHECK_FALSE(temperature_at(*snapshot, {1.1, 0.75, 0.01}));  // nothing but air around
}

TEST_CASE("an infrared face shows the surface and is mirrored from the far side") {
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  const ViewSize size{1000, 700};
  ViewState view = first_view(*wall);
  for (const auto mode : {ViewMode::room_face, ViewMode::far_face}) {
    view.mode = mode;
    const double z_m = mode == ViewMode::room_face ? 0.0 : wall->grid.z_m.back();
    const auto left = SceneView::project(*wall, view, {0.3, 0.4, z_m}, size);
    const auto right = SceneView::project(*wall, view, {0.9, 0.4, z_m}, size);
    REQUIRE((left && right));
    CHECK((left->x_px < right->x_px) == (mode == ViewMode::room_face));
    const auto picked =
        SceneView::pick(*snapshot, view, static_cast<double>(right->x_px), static_cast<double>(right->y_px), size);
    REQUIRE(picked);
    CHECK(picked->point_m[0] == Approx(0.9).margin(1e-4));
    CHECK(picked->temperature_k == Approx(test::formula_k({0.9, 0.4, z_m})).margin(0.5));
    const TemperatureRange extremes = SceneView::face_extremes(*snapshot, view);
    CHECK(extremes.to_k > picked->temperature_k - 0.1);
    CHECK(extremes.from_k < extremes.to_k);
  }
}

TEST_CASE("an infrared camera told another emissivity than the surface's shows another temperature") {
  auto wall = std::make_shared<sim::Wall>(*test::three_bays());
  const double true_k = 330.0;
  const double room_k = 278.15;  // what the wall's surroundings have
  const ViewSize size{1000, 700};
  ViewState view = first_view(*wall);
  view.mode = ViewMode::room_face;
  const auto place = SceneView::project(*wall, view, {0.6, 0.4, 0.0}, size);
  REQUIRE(place);
  const auto read = [&](const std::shared_ptr<const sim::Wall>& of) {
    const auto picked = SceneView::pick(*test::even(of, true_k), view, static_cast<double>(place->x_px),
                                        static_cast<double>(place->y_px), size);
    REQUIRE(picked);
    CHECK(picked->true_k.value() == Approx(true_k));
    CHECK(picked->material == "gypsum board");
    return picked->temperature_k;
  };
  CHECK(read(wall) == Approx(true_k));  // told 0.9, as the board has
  // By hand: 0.9 x 330^4 + 0.1 x 278.15^4 arrive, 0.5 x 278.15^4 are taken for the room's, the rest for 0.5 T^4.
  view.infrared.emissivity = 0.5;
  CHECK(read(wall) == Approx(358.717).margin(0.01));
  CHECK(read(wall) == Approx(std::pow((0.9 * std::pow(330.0, 4) - 0.4 * std::pow(room_k, 4)) / 0.5, 0.25)));
  view.infrared.emissivity = 1.0;
  CHECK(read(wall) < true_k - 3.0);
  // Bare metal looks like what it mirrors.
  wall->materials[0].emissivity = 0.05;
  view.infrared.emissivity = 0.9;
  CHECK(read(wall) == Approx(room_k).margin(4.0));
  view.infrared.reflected_k = 320.0;
  CHECK(read(wall) == Approx(320.0).margin(2.0));
  // The picture's ends follow what is shown.
  CHECK(SceneView::face_extremes(*test::even(wall, true_k), view).to_k == Approx(read(wall)).margin(0.01));
}

TEST_CASE("the hottest place of a face is found, whatever the camera is told") {
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  ViewState view = first_view(*wall);
  view.infrared.emissivity = 0.4;
  const auto hottest = SceneView::hottest_of_face(*snapshot, view);  // of the room's side
  REQUIRE(hottest);
  double formula_k = 0.0;
  for (int mm = 0; mm <= 1200; ++mm)
    formula_k = std::max(formula_k, test::formula_k({1e-3 * mm, test::cable_y_m, 0.0}));
  CHECK(hottest->true_k.value() == Approx(formula_k).margin(0.5));
  CHECK(hottest->point_m[1] == Approx(test::cable_y_m).margin(0.02));
  CHECK(hottest->true_k.value() == Approx(test::formula_k(hottest->point_m)).margin(0.5));
}

TEST_CASE("isotherm labels stand on their isotherm") {
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  ViewState view = first_view(*wall);
  view.isotherm_every_k = 10.0;
  const auto labels = SceneView::isotherm_labels(*snapshot, view);
  REQUIRE(labels.size() >= 3);
  for (const auto& label : labels) {
    CHECK(std::remainder(sim::celsius_from_kelvin(label.temperature_k), 10.0) == Approx(0.0).margin(1e-9));
    CHECK(temperature_at(*snapshot, label.point_m).value() == Approx(label.temperature_k).margin(0.15));
  }
  view.isotherms = false;
  CHECK(SceneView::isotherm_labels(*snapshot, view).empty());
}

TEST_CASE("a cable is few triangles, within its sheath, and its temperatures lie where they belong") {
  const auto wall = test::three_bays();
  const sim::Cable& cable = wall->cables.front();
  const CableShape shape = cable_shape(cable);
  const std::size_t vertices = shape.solid.size() / 8;
  CHECK(vertices / 3 < 3000);
  for (std::size_t v = 0; v < vertices; ++v) {
    const float* p = &shape.solid[8 * v];
    CHECK(std::abs(static_cast<double>(p[1]) - test::cable_y_m) < 0.5 * cable.type.width_m + 1e-6);
    CHECK(std::abs(static_cast<double>(p[2]) - test::cable_z_m) < 0.5 * cable.type.thickness_m + 1e-6);
    CHECK(p[6] == Approx(p[0]).margin(1e-6));  // this one runs along x from 0
  }
  const auto row = even_line({{0.0F, 0.2F, 1.0F}, {300.0F, 320.0F, 400.0F}, {299.0F, 310.0F, 350.0F}}, 1.0, 11);
  CHECK(row[2 * 1] == Approx(310.0F));
  CHECK(row[2 * 2] == Approx(320.0F));
  CHECK(row[2 * 6] == Approx(360.0F));
  CHECK(row[2 * 6 + 1] == Approx(330.0F));
}

TEST_CASE("materials are hatched by what they are") {
  const auto named = [](const std::string& name, double density = 0.0) {
    sim::Material m;
    m.name = name;
    m.density_kg_m3 = density;
    return hatch_of(m);
  };
  CHECK(named("softwood") == Hatch::wood);
  CHECK(named("gypsum board") == Hatch::board);
  CHECK(named("glass fibre batt") == Hatch::fibre);
  CHECK(named("loose cellulose") == Hatch::fibre);
  CHECK(named("spray foam, closed cell") == Hatch::foam);
  CHECK(named("XPS") == Hatch::foam);
  CHECK(named("concrete") == Hatch::masonry);
  CHECK(named("aluminium") == Hatch::metal);
  CHECK(named("still air") == Hatch::plain);
  CHECK(named("stair tread", 500.0) == Hatch::wood);  // by density: there is no "air" in it
  CHECK(named("1", 2300.0) == Hatch::masonry);
  CHECK(pattern_of(Hatch::plain).strength == 0.0F);
  CHECK(pattern_of(Hatch::wood).strength > 0.0F);
}
