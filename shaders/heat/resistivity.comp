// Half-resistivity of every voxel at its temperature: the first half of a refresh of conductances.

layout(local_size_x = 32, local_size_y = 4) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Codes { uint codes[]; };
layout(std430, binding = 2) writeonly buffer Resistivity { float resistivity[]; };

void main() {
  ivec3 place = ivec3(gl_GlobalInvocationID);
  if (any(greaterThanEqual(place, voxels))) return;
  int v = index_at(place.x, place.y, place.z);
  resistivity[v] = half_resistivity(codes[v] & 0xFFFFu, rise_k[v]);
}
