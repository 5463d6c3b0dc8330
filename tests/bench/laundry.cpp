#include "tests/bench/laundry.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "scenes/data/data_files.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/places.hpp"

namespace warmbay::bench {

Loaded load_laundry(double scale) {
  const scenes::Places places = scenes::find_places();
  const scenes::ReadDataFiles data = scenes::read_data_files(places.assets);
  scenes::ReadScene read = scenes::read_scene(places.scenes / "laundry-wall.toml", data.data);
  if (!read.scene) {
    for (const scenes::Fault& fault : read.faults) std::fprintf(stderr, "%s\n", to_line(fault).c_str());
    std::exit(1);
  }
  read.scene->grid.coarse_m *= scale;
  read.scene->grid.fine_m *= scale;
  return {*read.scene, scenes::paint(*read.scene, data.data)};
}

std::shared_ptr<const sim::Wall> without_damage(const sim::Wall& wall) {
  auto plain = std::make_shared<sim::Wall>(wall);
  for (sim::Material& material : plain->materials) {
    material.air_space = false;
    material.damage.reset();
  }
  for (sim::Cable& cable : plain->cables) cable.type.insulation.damage = cable.type.sheath.damage = nullptr;
  return plain;
}

std::shared_ptr<const sim::Wall> with_constant_properties(const sim::Wall& wall) {
  auto constant = std::make_shared<sim::Wall>(*without_damage(wall));
  for (sim::Material& material : constant->materials)
    material.conductivity_w_mk = material.conductivity_w_mk.at(sim::datum_k);
  for (sim::Surroundings& around : constant->surroundings)
    if (around.film == sim::Film::natural) around.film = sim::Film::given, around.film_w_m2k = 8.0;
  return constant;
}

std::vector<double> play_minutes(sim::Bench& bench) {
  std::vector<double> hottest_k;
  sim::Conditions conditions = bench.conditions();
  const double start_s = bench.time_s();
  for (int minute = 0; minute < minutes; ++minute) {
    if (minute % 25 == 0) {
      conditions.current_a = minute == 0 ? 15.0 : 30.0;
      bench.set_conditions(conditions);
      bench.set_segment_end(start_s + (minute + 25) * 60.0);
    }
    // A minute may end within an internal step: between its ends the temperature is taken to be straight.
    const double wanted_s = start_s + (minute + 1) * 60.0;
    bench.advance_to(wanted_s);
    const double from_s = bench.time_s(), from_k = bench.reading().cables.front().hottest_k;
    if (from_s < wanted_s - 1e-6) static_cast<void>(bench.step());
    const double to_k = bench.reading().cables.front().hottest_k;
    const double share = bench.time_s() > from_s ? (wanted_s - from_s) / (bench.time_s() - from_s) : 1.0;
    hottest_k.push_back(from_k + share * (to_k - from_k));
  }
  return hottest_k;
}

double furthest_k(const std::vector<double>& a, const std::vector<double>& b) {
  double furthest_k = 0.0;
  for (std::size_t n = 0; n < std::min(a.size(), b.size()); ++n)
    furthest_k = std::max(furthest_k, std::abs(a[n] - b[n]));
  return furthest_k;
}

}  // namespace warmbay::bench
