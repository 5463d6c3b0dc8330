// change = dt * (heat flowing into every voxel through its six faces), and what ballast adds to that; swept: capacities
// with ballast. sim/stepper.cpp, add_flow and add_ballast.

layout(local_size_x = 32, local_size_y = 4) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer FacesX { float gx[]; };
layout(std430, binding = 2) readonly buffer FacesY { float gy[]; };
layout(std430, binding = 3) readonly buffer FacesZ { float gz[]; };
layout(std430, binding = 4) buffer Change { float change[]; };  // in: what the step before has changed
layout(std430, binding = 5) readonly buffer Capacity { float capacity[]; };
layout(std430, binding = 6) writeonly buffer Swept { float swept[]; };
layout(std430, binding = 7) readonly buffer Widths { float widths_m[]; };  // padded, along x, then y, then z

void main() {
  ivec3 place = ivec3(gl_GlobalInvocationID);
  if (any(greaterThanEqual(place, voxels))) return;
  int v = index_at(place.x, place.y, place.z);
  float here = rise_k[v];
  vec3 high = vec3(gx[v], gy[v], gz[v]), low = vec3(gx[v - 1], gy[v - row], gz[v - plane]);
  vec3 above = vec3(rise_k[v + 1], rise_k[v + row], rise_k[v + plane]) - here;
  vec3 below = vec3(rise_k[v - 1], rise_k[v - row], rise_k[v - plane]) - here;
  vec3 flow = high * above + low * below;
  vec3 sum = high + low;
  ivec3 at = place + 1 + ivec3(0, voxels.x + 2, voxels.x + voxels.y + 4);
  float most_j_k = ballast_most_j_m3k * widths_m[at.x] * widths_m[at.y] * widths_m[at.z];
  float ballast = max(min(ballast_share * min(sum.x, min(sum.y, sum.z)), most_j_k) - capacity[v], 0.0);
  swept[v] = capacity[v] + ballast;
  change[v] = dt_s * (flow.x + flow.y + flow.z) + again * ballast * change[v];
}
