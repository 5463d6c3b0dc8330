// Runs of air between two solid sides: radiation and moving air add to what the air conducts along them.
// sim/air_exchange.cpp, run_extra_w_mk; sim/conduction.cpp, refresh_run. One invocation a run.

layout(local_size_x = 64) in;
struct Run {
  int first, count, axis;
  int side_at[2];  // the solid voxels at its two ends
  float side_width_m[2];
  float area_m2;
  float length_m, height_m;
  float exchange;  // 1 / (radiant exchange factor of the two sides)
  int place;       // of its first voxel along its axis, ghosts counted
};
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Resistivity { float resistivity[]; };
layout(std430, binding = 2) readonly buffer Widths { float widths_m[]; };
layout(std430, binding = 3) readonly buffer Runs { Run runs[]; };
layout(std430, binding = 4) writeonly buffer FacesX { float gx[]; };
layout(std430, binding = 5) writeonly buffer FacesY { float gy[]; };
layout(std430, binding = 6) writeonly buffer FacesZ { float gz[]; };

uniform int count;

float half_m2k_w(Run run, int n, int stride, int widths_from, float extra_w_mk) {
  float r = resistivity[run.first + n * stride], width = widths_m[widths_from + run.place + n];
  return n < 0 || n >= run.count ? width * r : width / (1.0 / r + 2.0 * extra_w_mk);
}

void main() {
  int index = int(gl_GlobalInvocationID.x);
  if (index >= count) return;
  Run run = runs[index];
  float side_k[2], half_of_side[2];
  for (int n = 0; n < 2; ++n) {
    side_k[n] = rise_k[run.side_at[n]];
    half_of_side[n] = run.side_width_m[n] * resistivity[run.side_at[n]];
  }
  float air_w_mk = air_at(datum_k + 0.5 * (side_k[0] + side_k[1])).conductivity_w_mk;
  float first_k = side_k[0], last_k = side_k[1], extra_w_mk = 0.0;
  for (int round = 0; round < air_spaces_run_rounds; ++round) {
    extra_w_mk = radiant_w_m2k(datum_k + first_k, datum_k + last_k) / run.exchange * run.length_m;
    if (run.axis != 1)
      extra_w_mk += (layer_nusselt(first_k - last_k, datum_k + 0.5 * (first_k + last_k), run.length_m, run.height_m) -
                     1.0) * air_w_mk;
    float flux_w_m2 = (side_k[0] - side_k[1]) /
                      (half_of_side[0] + run.length_m / (extra_w_mk + air_w_mk) + half_of_side[1]);
    first_k = side_k[0] - flux_w_m2 * half_of_side[0];
    last_k = side_k[1] + flux_w_m2 * half_of_side[1];
  }
  int stride = run.axis == 0 ? 1 : run.axis == 1 ? row : plane;
  int from = run.axis == 0 ? 0 : run.axis == 1 ? voxels.x + 2 : voxels.x + voxels.y + 4;
  float before = half_m2k_w(run, -1, stride, from, extra_w_mk);
  for (int n = -1; n < run.count; ++n) {
    float after = half_m2k_w(run, n + 1, stride, from, extra_w_mk);
    float g = run.area_m2 / (before + after);
    int face = run.first + n * stride;
    if (run.axis == 0) gx[face] = g;
    else if (run.axis == 1) gy[face] = g;
    else gz[face] = g;
    before = after;
  }
}
