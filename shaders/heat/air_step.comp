// Solves (C + half_s La) w = C w for one slab, radiant node first, by eliminating the faces (Sherman-Morrison):
// sim/stepper.cpp, step_air. One group a slab; slabs worked on side by side share no voxel.

const int group = 64;
layout(local_size_x = 64) in;
layout(std430, binding = 0) buffer Rise { float rise_k[]; };
layout(std430, binding = 1) buffer Change { float change[]; };
layout(std430, binding = 2) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 3) readonly buffer Slabs { Slab slabs[]; };
layout(std430, binding = 4) readonly buffer Voxels { SlabVoxel voxels_of[]; };
layout(std430, binding = 5) readonly buffer Couplings { vec2 couplings_w_k[]; };
layout(std430, binding = 6) readonly buffer Order { int order[]; };  // slabs, by colour

uniform int order_from;

shared dvec2 sums[group];

/// One node's share: what its faces give it, then what it gives them.
void exchange(Slab slab, int node) {
  int me = int(gl_LocalInvocationID.x);
  dvec2 sum = dvec2(0.0LF);  // into the node, through it
  for (int n = slab.first_voxel + me; n < slab.last_voxel; n += group) {
    SlabVoxel at = voxels_of[n];
    double c = capacity[at.voxel], w = change[at.voxel];
    for (int f = at.first; f < at.last; ++f) {
      double g = couplings_w_k[f][node];
      double kept = g * c / (c + double(half_s) * g);
      sum += dvec2(kept * w, kept);
    }
  }
  barrier();
  sums[me] = sum;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) sums[me] += sums[me + half_of];
  }
  barrier();
  if (sums[0].y <= 0.0LF) return;
  double node_k = sums[0].x / sums[0].y;
  for (int n = slab.first_voxel + me; n < slab.last_voxel; n += group) {
    SlabVoxel at = voxels_of[n];
    double c = capacity[at.voxel];
    float w = change[at.voxel], t = rise_k[at.voxel];
    for (int f = at.first; f < at.last; ++f) {
      double g = double(half_s) * double(couplings_w_k[f][node]);
      float moved = float(g * (node_k - double(w)) / (c + g));
      w += moved;
      t += moved;
    }
    change[at.voxel] = w;
    rise_k[at.voxel] = t;
  }
}

void main() {
  Slab slab = slabs[order[order_from + int(gl_WorkGroupID.x)]];
  exchange(slab, 0);
  exchange(slab, 1);
}
