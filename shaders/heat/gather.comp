// Copies the values of some places into the readings that go back to the host.

layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Field { float field[]; };
layout(std430, binding = 1) readonly buffer Places { int places[]; };
layout(std430, binding = 2) writeonly buffer Result { uint result[]; };

uniform int count;
uniform int result_from;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n < count) result[result_from + n] = floatBitsToUint(field[places[n]]);
}
