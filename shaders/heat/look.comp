// Voxels that have become hot enough for something to happen to them and have no cell yet: listed in any order, the
// host sorts them.

layout(local_size_x = 32, local_size_y = 4) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Codes { uint codes[]; };
layout(std430, binding = 2) readonly buffer Quiet { float quiet_below_rise_k[]; };  // per code
layout(std430, binding = 3) writeonly buffer Found { uint found[]; };
layout(std430, binding = 4) buffer Result { uint result[]; };

uniform int room;         // for so many
uniform int result_from;  // where their number is counted

void main() {
  ivec3 place = ivec3(gl_GlobalInvocationID);
  if (any(greaterThanEqual(place, voxels))) return;
  int v = index_at(place.x, place.y, place.z);
  uint code = codes[v];
  if ((code & has_cell) != 0u || rise_k[v] < quiet_below_rise_k[code]) return;
  uint n = atomicAdd(result[result_from], 1u);
  if (n < uint(room)) found[n] = uint(v);
}
