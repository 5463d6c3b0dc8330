// Puts cells that the host has changed into their places.

layout(local_size_x = 64) in;
const int words = 11;  // of a cell
layout(std430, binding = 0) readonly buffer Puts { uint puts[]; };  // where to, then the cell
layout(std430, binding = 1) writeonly buffer Cells { uint cells[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  uint to = puts[n * (words + 1)];
  for (int w = 0; w < words; ++w) cells[int(to) * words + w] = puts[n * (words + 1) + 1 + w];
}
