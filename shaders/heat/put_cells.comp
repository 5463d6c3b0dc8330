// Puts cells that the host has changed into their places.

layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Puts { uint puts[]; };  // where to, then the cell
layout(std430, binding = 1) writeonly buffer Cells { uint cells[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  int from = n * (1 + damage_cell_words), to = int(puts[from]) * damage_cell_words;
  for (int w = 0; w < damage_cell_words; ++w) cells[to + w] = puts[from + 1 + w];
}
