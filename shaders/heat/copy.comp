// Copies words from one buffer into another. By a kernel: a driver may keep a buffer that is only ever copied into in
// the host's memory, and then a copy waits for the bus.

layout(local_size_x = 256) in;
layout(std430, binding = 0) readonly buffer From { uint from[]; };
layout(std430, binding = 1) writeonly buffer To { uint to[]; };

uniform int count;

void main() {
  uint all = gl_NumWorkGroups.x * gl_WorkGroupSize.x;
  for (uint n = gl_GlobalInvocationID.x; n < uint(count); n += all) to[n] = from[n];
}
