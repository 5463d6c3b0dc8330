// What a chunk of surfaces that face the same surroundings gives them, W, and the range of its temperatures. One group
// a chunk; the sum's order is fixed.

const int group = 128;
layout(local_size_x = 128) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Surfaces { Surface surfaces[]; };
layout(std430, binding = 2) readonly buffer Films { float films_w_m2k[]; };
layout(std430, binding = 3) readonly buffer FacesX { float gx[]; };
layout(std430, binding = 4) readonly buffer FacesY { float gy[]; };
layout(std430, binding = 5) readonly buffer FacesZ { float gz[]; };
layout(std430, binding = 6) readonly buffer Chunks { ivec2 chunks[]; };  // first and last surface
layout(std430, binding = 7) writeonly buffer Result { uint result[]; };

uniform int result_from;  // four words a chunk: the sum as a double, lowest, highest

shared double heat_w[group];
shared vec2 range_k[group];

void main() {
  int me = int(gl_LocalInvocationID.x);
  ivec2 chunk = chunks[gl_WorkGroupID.x];
  double sum_w = 0.0LF;
  vec2 range = vec2(endless, -endless);
  for (int n = chunk.x + me; n < chunk.y; n += group) {
    Surface at = surfaces[n];
    float outside = rise_k[at.outside], drop_k = rise_k[at.solid] - outside, film = films_w_m2k[n];
    float g = at.axis == 0 ? gx[at.face] : at.axis == 1 ? gy[at.face] : gz[at.face];
    sum_w += double(g * drop_k);
    float surface = outside + (film < endless ? drop_k * g / (film * at.area_m2) : 0.0);
    range = vec2(min(range.x, surface), max(range.y, surface));
  }
  heat_w[me] = sum_w;
  range_k[me] = range;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me >= half_of) continue;
    heat_w[me] += heat_w[me + half_of];
    range_k[me] = vec2(min(range_k[me].x, range_k[me + half_of].x), max(range_k[me].y, range_k[me + half_of].y));
  }
  if (me != 0) return;
  int to = result_from + 4 * int(gl_WorkGroupID.x);
  uvec2 words = unpackDouble2x32(heat_w[0]);
  result[to] = words.x;
  result[to + 1] = words.y;
  result[to + 2] = floatBitsToUint(range_k[0].x);
  result[to + 3] = floatBitsToUint(range_k[0].y);
}
