// change = dt * (heat flowing into every voxel through its six faces): sim/stepper.cpp, add_flow.

layout(local_size_x = 32, local_size_y = 4) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer FacesX { float gx[]; };
layout(std430, binding = 2) readonly buffer FacesY { float gy[]; };
layout(std430, binding = 3) readonly buffer FacesZ { float gz[]; };
layout(std430, binding = 4) writeonly buffer Change { float change[]; };

void main() {
  ivec3 place = ivec3(gl_GlobalInvocationID);
  if (any(greaterThanEqual(place, voxels))) return;
  int v = index_at(place.x, place.y, place.z);
  float here = rise_k[v];
  float x = gx[v] * (rise_k[v + 1] - here) + gx[v - 1] * (rise_k[v - 1] - here);
  float y = gy[v] * (rise_k[v + row] - here) + gy[v - row] * (rise_k[v - row] - here);
  float z = gz[v] * (rise_k[v + plane] - here) + gz[v - plane] * (rise_k[v - plane] - here);
  change[v] = dt_s * (x + y + z);
}
