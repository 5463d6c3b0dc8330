// What some voxels and their cells, where they have one, have come to.

layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Cells { uint cells[]; };
layout(std430, binding = 2) readonly buffer Wanted { ivec2 wanted[]; };  // voxel, cell or -1
layout(std430, binding = 3) writeonly buffer Seen { uint seen[]; };      // as in find_going.comp, nothing before the first

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  int to = n * (damage_cell_words + 2), c = wanted[n].y;
  seen[to] = uint(c);
  for (int w = 0; w < damage_cell_words && c >= 0; ++w) seen[to + 1 + w] = cells[c * damage_cell_words + w];
  seen[to + 1 + damage_cell_words] = floatBitsToUint(rise_k[wanted[n].x]);
}
