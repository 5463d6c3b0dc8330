// Voids eat their way into a wall, a few voxels at a time: what grows with them has to be what would be found anew.

#include <random>

#include "sim/conduction.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

bool touches_air(const sim::Conduction& wall, std::size_t voxel) {
  for (const sim::Axis axis : {sim::Axis::x, sim::Axis::y, sim::Axis::z})
    for (const int sign : {-1, 1})
      if (wall.is_air(voxel + sign * wall.layout().stride(axis))) return true;
  return false;
}

/// Some of the voxels that stand beside air.
std::vector<std::size_t> next_voids(const sim::Conduction& wall, std::minstd_rand& random) {
  std::vector<std::size_t> voxels;
  for (std::size_t v = 0; v < wall.layout().size; ++v)
    if (wall.is_solid(v) && !wall.is_air(v) && !wall.sheath_of(v) && touches_air(wall, v) && random() % 4 == 0)
      voxels.push_back(v);
  return voxels;
}

void check_same(const sim::AirSpaces& grown, const sim::AirSpaces& anew) {
  REQUIRE(grown.faces().size() == anew.faces().size());
  REQUIRE(grown.groups().size() == anew.groups().size());
  REQUIRE(grown.slabs().size() == anew.slabs().size());
  REQUIRE(grown.runs().size() == anew.runs().size());
  CHECK(grown.colours() == anew.colours());
  for (std::size_t f = 0; f < grown.faces().size(); ++f) {
    const sim::AirFace &a = grown.faces()[f], &b = anew.faces()[f];
    REQUIRE((a.voxel == b.voxel && a.group == b.group && a.slab == b.slab));
    REQUIRE((a.area_m2 == b.area_m2 && a.half_m == b.half_m));
  }
  for (std::size_t g = 0; g < grown.groups().size(); ++g) {
    const sim::AirGroup &a = grown.groups()[g], &b = anew.groups()[g];
    REQUIRE((a.cable == b.cable && a.normal == b.normal && a.looks_up == b.looks_up));
    REQUIRE((a.area_m2 == b.area_m2 && a.emissivity == b.emissivity && a.view == b.view));
  }
  for (std::size_t s = 0; s < grown.slabs().size(); ++s) {
    const sim::AirSlab &a = grown.slabs()[s], &b = anew.slabs()[s];
    REQUIRE((a.first_face == b.first_face && a.middle_face == b.middle_face && a.last_face == b.last_face));
    REQUIRE((a.first_group == b.first_group && a.last_group == b.last_group && a.colour == b.colour));
    REQUIRE((a.length_m == b.length_m && a.thickness_m == b.thickness_m && a.height_m == b.height_m));
    REQUIRE((a.along == b.along && a.cable_m == b.cable_m && a.enclosure_m == b.enclosure_m));
  }
  for (std::size_t r = 0; r < grown.runs().size(); ++r) {
    const sim::AirRun &a = grown.runs()[r], &b = anew.runs()[r];
    REQUIRE((a.first == b.first && a.count == b.count && a.axis == b.axis));
    REQUIRE((a.length_m == b.length_m && a.across_m == b.across_m && a.height_m == b.height_m));
  }
}

/// rounds of voids, in one wall taken in as they come, in the other by finding all spaces anew each time.
void grow_both(const std::shared_ptr<const sim::Wall>& wall, int rounds) {
  sim::Crew three(3), alone(1);
  sim::Conduction grown(wall, three), anew(wall, alone);
  std::minstd_rand random(7);  // NOLINT: the same voids every time
  for (int round = 0; round < rounds; ++round) {
    const std::vector<std::size_t> voids = next_voids(grown, random);
    REQUIRE_FALSE(voids.empty());
    for (sim::Conduction* of : {&grown, &anew})
      for (const std::size_t voxel : voids) of->set_void(voxel);
    grown.grow_air(voids);
    anew.renew_air();
    check_same(grown.air(), anew.air());
  }
}

}  // namespace

TEST_CASE("a space round a cable that has grown is to the bit the one that is found anew, with any number of threads") {
  grow_both(share(frail_wall()), 6);
}

TEST_CASE("a space without a cable that has grown is to the bit the one that is found anew") {
  const auto edges = even_edges(0.12, 20);
  sim::Wall wall = block({edges, edges, edges}, material("board", 0.2, 700.0, 1000.0));
  sim::Material air = material("air", 0.026, 1.2, 1006.0);
  air.air_space = true;
  paint_box(wall, {0.03, 0.03, 0.03}, {0.06, 0.06, 0.06}, air);
  paint_box(wall, {0.084, 0.084, 0.084}, {0.096, 0.096, 0.096}, air);  // the two come to be one
  grow_both(share(std::move(wall)), 5);
}
