// Adds what the copper gives to its sheath's voxels to change. One invocation a voxel.

layout(local_size_x = 64) in;
struct Touched {
  int voxel;
  int first, last;  // of its couplings
  int unused;
};
struct Coupling {
  float w_k;
  int node;
};
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) buffer Change { float change[]; };
layout(std430, binding = 2) readonly buffer Voxels { Touched touched[]; };
layout(std430, binding = 3) readonly buffer Couplings { Coupling couplings[]; };
layout(std430, binding = 4) readonly buffer Copper { double copper_rise_k[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  Touched at = touched[n];
  float sum = change[at.voxel], here = rise_k[at.voxel];
  for (int c = at.first; c < at.last; ++c)
    sum += dt_s * couplings[c].w_k * (float(copper_rise_k[couplings[c].node]) - here);
  change[at.voxel] = sum;
}
