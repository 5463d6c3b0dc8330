// Whether a step keeps to its bound: sim/heat_state.hpp, RiseBound::holds, and the most that a voxel may move. Damage
// follows in the same batch, and only what has been judged sound may be damaged. One group.

const int group = 128;
layout(local_size_x = 128) in;
layout(std430, binding = 0) buffer Result { uint result[]; };

uniform int copper_from;  // in result
uniform int nodes;

shared dvec2 ranges[group];
shared uint strange[group];  // not a number, or endless

bool is_strange(uvec2 words) {
  return (words.y & 0x7FF00000u) == 0x7FF00000u;
}

/// The other way round of ordered().
float unordered(uint bits) {
  return uintBitsToFloat((bits & 0x80000000u) != 0u ? bits & 0x7FFFFFFFu : ~bits);
}

void main() {
  int me = int(gl_LocalInvocationID.x);
  dvec2 range = dvec2(double(endless), -double(endless));
  uint odd = 0u;
  for (int n = me; n < nodes; n += group) {
    uvec2 words = uvec2(result[copper_from + 2 * n], result[copper_from + 2 * n + 1]);
    double rise_k = packDouble2x32(words);
    if (is_strange(words)) odd = 1u;
    else range = dvec2(min(range.x, rise_k), max(range.y, rise_k));
  }
  ranges[me] = range;
  strange[me] = odd;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) {
      dvec2 other = ranges[me + half_of];
      ranges[me] = dvec2(min(ranges[me].x, other.x), max(ranges[me].y, other.y));
      strange[me] |= strange[me + half_of];
    }
  }
  if (me != 0) return;
  double lowest_k = bounds.x, highest_k = bounds.y, copper_highest_k = bounds.z;
  // In the order of floats a NaN lies beyond all numbers.
  bool sane = strange[0] == 0u && result[0] < ordered(endless) && result[1] > ordered(-endless) && result[2] < ordered(endless);
  if (sane && nodes > 0)
    sane = ranges[0].x >= lowest_k && ranges[0].y <= max(highest_k, copper_highest_k);
  if (sane)
    sane = double(unordered(result[1])) >= lowest_k && double(unordered(result[2])) <= max(highest_k, ranges[0].y);
  result[3] = !sane ? step_refused : double(unordered(result[0])) > bounds.w ? step_too_long : step_taken;
}
