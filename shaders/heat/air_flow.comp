// Adds what a voxel gets from the nodes of the slabs that its faces look into to change. One invocation a voxel.

layout(local_size_x = 64) in;
struct Touched {
  int voxel;
  int first, last;  // of the faces it has
  int unused;
};
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) buffer Change { float change[]; };
layout(std430, binding = 2) readonly buffer Voxels { Touched touched[]; };
layout(std430, binding = 3) readonly buffer Touches { ivec2 touches[]; };  // face, slab
layout(std430, binding = 4) readonly buffer Couplings { vec2 couplings_w_k[]; };
layout(std430, binding = 5) readonly buffer Nodes { vec2 nodes_k[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  Touched at = touched[n];
  float sum = change[at.voxel], here = rise_k[at.voxel];
  for (int t = at.first; t < at.last; ++t)
    sum += dt_s * dot(couplings_w_k[touches[t].x], nodes_k[touches[t].y] - vec2(here));
  change[at.voxel] = sum;
}
