// The sheath's voxels follow their node's move. One invocation a voxel.

layout(local_size_x = 64) in;
layout(std430, binding = 0) buffer Rise { float rise_k[]; };
layout(std430, binding = 1) buffer Change { float change[]; };
layout(std430, binding = 2) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 3) readonly buffer Links { Link links[]; };
layout(std430, binding = 4) readonly buffer Copper { double copper[]; };

uniform int first_link;
uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  Link link = links[first_link + n];
  double g = double(half_s) * double(link.coupling_w_k), c = capacity[link.voxel], w3 = change[link.voxel];
  float moved = float((c * w3 + g * copper[moved_at(link.node)]) / (c + g) - w3);
  rise_k[link.voxel] += moved;
  change[link.voxel] += moved;
}
