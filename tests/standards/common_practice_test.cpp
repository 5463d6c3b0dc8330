// Common practice, no source: a 14 AWG two-conductor cable closed in on all sides in a channel in rigid polystyrene
// foam, 38 to 51 mm board, gaps of 3 to 5 mm round the cable, 15 A, 30 C around. Its sheath is said to rise by about 30
// K in 15 minutes and 33 K in 25, with a time constant of 15 to 20 minutes.
//
// Such a claim leaves open where in the board the channel lies, the foam's make, and the film on the board. So nothing
// here is tuned or held to it: the model is held to bounds that physics sets for the settled rise, and a table shows
// where it stands beside the claim over the plausible range of board and gap.

#include <cmath>
#include <cstdio>
#include <numbers>
#include <string>

#include "scenes/play/conditions.hpp"
#include "sim/cross_section.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/support/runs.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double pi = std::numbers::pi;

struct Trial {
  const char* placing;  // where the channel lies
  double near_mm;       // foam from the channel's axis to the nearer face
  double far_mm;        // and to the other
  double gap_mm;        // air round the cable
};

/// Conductivity that stands for still air and radiation across the gap, W/(m K), at a temperature. A cable is small
/// beside its channel: the radiation's length is r1 ln(r2 / r1) of the cylinders with the same perimeters, emissivities
/// 0.9.
double gap_w_mk(double celsius, double cable_radius_mm, double gap_mm) {
  const double t_k = celsius + 273.15;
  const double air = 2.64638e-3 * std::pow(t_k, 1.5) / (t_k + 245.4 * std::pow(10.0, -12.0 / t_k));
  const double exchange = 1.0 / (2.0 / 0.9 - 1.0);
  const double length_m = 1e-3 * cable_radius_mm * std::log1p(gap_mm / cable_radius_mm);
  return air + 4.0 * exchange * sim::stefan_boltzmann_w_m2k4 * t_k * t_k * t_k * length_m;
}

scenes::SourcedCableType awg14() {
  for (const scenes::SourcedCableType& type : shipped_data().cable_types) {
    if (type.awg == 14) return type;
  }
  FAIL("no 14 AWG cable ships");
  return {};
}

double perimeter_radius_mm(double width_mm, double thickness_mm) {
  return (width_mm + thickness_mm) / pi;
}

/// In order: thickness, channel in y and z, the curve of its air, the cable type, the cable's depth twice.
constexpr char scene_text[] = R"(
format = 1
title = "14 AWG in a foam channel"
[grid]
coarse_mm = 20.0
fine_mm = 1.0
[wall]
width_mm = 100.0
height_mm = 400.0
start_c = 30.0
[[wall.layer]]
name = "foam"
material = "xps"
thickness_mm = %.3f
[[box]]
name = "channel"
material = "air round the cable"
x_mm = [0.0, 100.0]
y_mm = [%.3f, %.3f]
z_mm = [%.3f, %.3f]
fine = true
[[material]]
name = "air round the cable"
conductivity_w_mk = [%s]
density_kg_m3 = 1.2
heat_capacity_j_kgk = 1006.0
source = "still air and radiation, emissivity 0.9, from the test"
[[surroundings]]
name = "air"
temperature_c = 30.0
[faces]
room = "air"
far = "air"
[[cable]]
name = "feed"
type = "%s"
route_mm = [[0.0, 200.0, %.3f], [100.0, 200.0, %.3f]]
flat = "z"
[[thermocouple]]
name = "sheath"
on = "feed"
along_mm = 50.0
where = "sheath"
[[step]]
title = "15 A"
say = "15 A"
current_a = 15.0
hold_min = 25.0
)";

std::string scene_of(const Trial& trial, const scenes::SourcedCableType& cable) {
  const double width_mm = 1e3 * cable.width_m + 2 * trial.gap_mm, thick_mm = 1e3 * cable.thickness_m + 2 * trial.gap_mm;
  const double radius_mm = perimeter_radius_mm(1e3 * cable.width_m, 1e3 * cable.thickness_m);
  std::string curve;
  for (const double celsius : {20.0, 40.0, 60.0, 80.0, 100.0}) {
    char point[64];
    std::snprintf(point, sizeof point, "%s[%.1f, %.5f]", curve.empty() ? "" : ", ", celsius,
                  gap_w_mk(celsius, radius_mm, trial.gap_mm));
    curve += point;
  }
  char text[2400];
  std::snprintf(text, sizeof text, scene_text, trial.near_mm + trial.far_mm, 200.0 - 0.5 * width_mm,
                200.0 + 0.5 * width_mm, trial.near_mm - 0.5 * thick_mm, trial.near_mm + 0.5 * thick_mm, curve.c_str(),
                cable.name.c_str(), trial.near_mm, trial.near_mm);
  return text;
}

/// Thermal resistance from the sheath to the air, m K/W, that physics allows, for round cylinders of the same
/// perimeters (the shape factor of a cylinder between planes or under one, Incropera & DeWitt table 4.1; 0.1 m2K/W of
/// film counted as foam). Least: the gap resists nothing, the foam is as warm as 80 C and the sheath heats the
/// channel's whole perimeter, and both faces are as near as the nearer. Most: still air alone in the gap, foam at 10 C,
/// both faces as far as the farther.
struct Bounds {
  double least_mk_w, most_mk_w;
};
Bounds bounds_of(const Trial& trial, const scenes::SourcedCableType& cable) {
  const double r_mm = perimeter_radius_mm(1e3 * cable.width_m, 1e3 * cable.thickness_m);
  const double channel_mm = r_mm + 4.0 * trial.gap_mm / pi;  // same perimeter as the channel
  const double film_mm = 3.5;
  const auto foam = [&](double face_mm, double k) {
    return std::log(8.0 * (face_mm + film_mm) / (pi * 2.0 * channel_mm)) / (2.0 * pi * k);
  };
  return {foam(trial.near_mm, 0.0405), foam(trial.far_mm, 0.0300) + std::log(channel_mm / r_mm) / (2.0 * pi * 0.0257)};
}

}  // namespace

TEST_CASE("common practice: a 14 AWG cable closed in by foam at 15 A stands within the bounds of physics", "[slow]") {
  const scenes::SourcedCableType cable = awg14();
  std::string table =
      "sheath's rise at 15 A, 30 C around (common practice says 30 K at 15 min, 33 K at 25 min, 15 to 20 min to 63 %)\n"
      "channel                     gap   15 min  25 min  settled  K m/W  63 % of settled after\n";
  for (const Trial& trial :
       {Trial{"middle of a 38 mm board", 19.0, 19.0, 3.0}, Trial{"middle of a 38 mm board", 19.0, 19.0, 5.0},
        Trial{"middle of a 51 mm board", 25.5, 25.5, 3.0}, Trial{"middle of a 51 mm board", 25.5, 25.5, 5.0},
        Trial{"between 38 and 51 mm", 38.0, 51.0, 3.0}, Trial{"between 38 and 51 mm", 38.0, 51.0, 5.0}}) {
    const scenes::Scene scene = read_case_text(scene_of(trial, cable), trial.placing);
    const auto wall = paint_case(scene);
    const sim::Settled settled = sim::settle(wall, scenes::first_conditions(scene, *wall));
    REQUIRE(settled.outcome == sim::SettledOutcome::settled);
    const double settled_k = settled.state->reading.thermocouple_k[0] - sim::kelvin_from_celsius(30.0);
    const double power_w_m = settled.state->reading.power_w / 0.1;

    sim::Bench bench = bench_at(wall, 30.0, 2.0, 2);
    bench.set_conditions(scenes::first_conditions(scene, *wall));
    double to_63_s = 0.0, rise_15_k = 0.0, rise_25_k = 0.0;
    for (double t_s = 10.0; to_63_s == 0.0 || t_s <= 1500.0; t_s += 10.0) {
      bench.advance_to(t_s);
      const double rise_k = bench.reading().thermocouple_k[0] - sim::kelvin_from_celsius(30.0);
      if (to_63_s == 0.0 && rise_k > (1.0 - std::exp(-1.0)) * settled_k) to_63_s = t_s;
      if (t_s <= 900.0) rise_15_k = rise_k;
      if (t_s <= 1500.0) rise_25_k = rise_k;
    }
    char line[160];
    std::snprintf(line, sizeof line, "%-26s %3.0f mm  %5.1f   %5.1f   %5.1f   %5.2f   %4.1f min\n", trial.placing,
                  trial.gap_mm, rise_15_k, rise_25_k, settled_k, settled_k / power_w_m, to_63_s / 60.0);
    table += line;

    INFO(line);
    const Bounds bounds = bounds_of(trial, cable);
    CHECK(settled_k / power_w_m > bounds.least_mk_w);
    CHECK(settled_k / power_w_m < bounds.most_mk_w);
    CHECK(rise_15_k < rise_25_k);
    CHECK(rise_25_k < settled_k);
    // Energy: the copper alone cannot have stored more than was generated.
    CHECK(rise_15_k * sim::cross_section(wall->cables[0].type).copper_capacity_j_mk < power_w_m * 900.0);
    // Two 14 AWG conductors at 15 A give 3.73 W/m at 20 C and 4.75 W/m at 90 C.
    CHECK(power_w_m > 3.7);
    CHECK(power_w_m < 4.8);
  }
  WARN(table);
}
