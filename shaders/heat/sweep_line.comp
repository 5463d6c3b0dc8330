// Solves (C + half_s L) w = C r along y or z, in place: one invocation a line, neighbours in x side by side. The last
// sweep adds w to the temperatures and finds their range.

layout(local_size_x = 32, local_size_y = 2) in;
layout(std430, binding = 0) readonly buffer Faces { float g[]; };
layout(std430, binding = 1) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 2) buffer Change { float change[]; };
layout(std430, binding = 3) buffer Upper { float upper[]; };
layout(std430, binding = 4) buffer Rise { float rise_k[]; };
layout(std430, binding = 5) buffer Result { uint result[]; };

uniform int stride;  // along the lines
uniform int count;   // voxels of a line
uniform int across;  // from a line to its neighbour in the other direction, and
uniform int lines;   // how many there are in that direction
uniform bool last;

const int ahead = 8;  // voxels whose values are asked for together: waiting for memory is what costs
const int group = 64;
shared float largest[group];
shared float lowest[group];
shared float highest[group];

void sweep(int first) {
  float low = half_s * g[first - stride], upper_before = 0.0, before = 0.0;
  for (int n = 0; n < count; n += ahead) {
    float faces[ahead], heat[ahead], right[ahead];
    for (int m = 0; m < ahead; ++m) {
      int v = first + min(n + m, count - 1) * stride;
      faces[m] = g[v];
      heat[m] = capacity[v];
      right[m] = change[v];
    }
    for (int m = 0; m < ahead; ++m) {
      if (n + m >= count) break;
      float high = half_s * faces[m];
      float pivot = 1.0 / (heat[m] + high + low * (1.0 - upper_before));
      upper_before = high * pivot;
      before = (heat[m] * right[m] + low * before) * pivot;
      int v = first + (n + m) * stride;
      upper[v] = upper_before;
      change[v] = before;
      low = high;
    }
  }
}

/// The way back. Returns the largest |w| and the range of the temperatures.
vec3 substitute(int first) {
  float after = 0.0;
  vec3 range = vec3(0.0, endless, -endless);
  for (int n = count - 1; n >= 0; n -= ahead) {
    float factor[ahead], right[ahead], here[ahead];
    for (int m = 0; m < ahead; ++m) {
      int v = first + max(n - m, 0) * stride;
      factor[m] = upper[v];
      right[m] = change[v];
      here[m] = last ? rise_k[v] : 0.0;
    }
    for (int m = 0; m < ahead; ++m) {
      if (n - m < 0) break;
      int v = first + (n - m) * stride;
      after = n - m == count - 1 ? right[m] : right[m] + factor[m] * after;
      change[v] = after;
      if (!last) continue;
      float warm = here[m] + after;
      rise_k[v] = warm;
      range = vec3(max(range.x, abs(after)), min(range.y, warm), max(range.z, warm));
    }
  }
  return range;
}

void main() {
  ivec2 place = ivec2(gl_GlobalInvocationID.xy);
  vec3 range = vec3(0.0, endless, -endless);
  if (place.x < voxels.x && place.y < lines) {
    int first = index_at(place.x, 0, 0) + place.y * across;
    sweep(first);
    range = substitute(first);
  }
  if (!last) return;
  int me = int(gl_LocalInvocationIndex);
  largest[me] = range.x;
  lowest[me] = range.y;
  highest[me] = range.z;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me >= half_of) continue;
    largest[me] = max(largest[me], largest[me + half_of]);
    lowest[me] = min(lowest[me], lowest[me + half_of]);
    highest[me] = max(highest[me], highest[me + half_of]);
  }
  if (me != 0) return;
  atomicMax(result[0], ordered(largest[0]));
  atomicMin(result[1], ordered(lowest[0]));
  atomicMax(result[2], ordered(highest[0]));
}
