// Puts what the host has changed into some voxels: temperature, heat capacity, and which row of conductivities they
// follow. A void that is new has not moved yet.

layout(local_size_x = 64) in;
struct Put {
  int voxel;
  float rise_k;  // or as_warm_as_it_is
  float capacity_j_k;
  uint code;
};
layout(std430, binding = 0) readonly buffer Puts { Put puts[]; };
layout(std430, binding = 1) writeonly buffer Rise { float rise_k[]; };
layout(std430, binding = 2) writeonly buffer Capacity { float capacity[]; };
layout(std430, binding = 3) writeonly buffer Codes { uint codes[]; };
layout(std430, binding = 4) writeonly buffer Change { float change[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  Put put = puts[n];
  if (put.rise_k > as_warm_as_it_is) rise_k[put.voxel] = put.rise_k;
  capacity[put.voxel] = put.capacity_j_k;
  codes[put.voxel] = put.code & ~at_rest;
  if ((put.code & at_rest) != 0u) change[put.voxel] = 0.0;
}
