// Conductances of the faces between voxels, two half-cells in series: sim/conduction.cpp, refresh_voxel_faces.

layout(local_size_x = 32, local_size_y = 4) in;
layout(std430, binding = 0) readonly buffer Resistivity { float resistivity[]; };
layout(std430, binding = 1) readonly buffer Widths { float widths_m[]; };  // along x, y, z, ghosts included
layout(std430, binding = 2) writeonly buffer FacesX { float gx[]; };
layout(std430, binding = 3) writeonly buffer FacesY { float gy[]; };
layout(std430, binding = 4) writeonly buffer FacesZ { float gz[]; };

void main() {
  ivec3 place = ivec3(gl_GlobalInvocationID);
  if (any(greaterThan(place, voxels))) return;
  int v = index_at(place.x - 1, place.y - 1, place.z - 1);
  int from_y = voxels.x + 2, from_z = from_y + voxels.y + 2;
  float x = widths_m[place.x], y = widths_m[from_y + place.y], z = widths_m[from_z + place.z];
  float r = resistivity[v];
  gx[v] = y * z / (x * r + widths_m[place.x + 1] * resistivity[v + 1]);
  gy[v] = x * z / (y * r + widths_m[from_y + place.y + 1] * resistivity[v + row]);
  gz[v] = x * y / (z * r + widths_m[from_z + place.z + 1] * resistivity[v + plane]);
}
