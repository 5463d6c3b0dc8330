// Faces along a cable, which its earth conductor bridges: sim/conduction.cpp, refresh_axial_faces.

layout(local_size_x = 64) in;
struct Axial {
  int face, axis;
  float area_m2, sheath_resistance_m2k_w;
  float other_half_m;
  int other;
};
layout(std430, binding = 0) readonly buffer Resistivity { float resistivity[]; };
layout(std430, binding = 1) readonly buffer Faces { Axial faces[]; };
layout(std430, binding = 2) writeonly buffer FacesX { float gx[]; };
layout(std430, binding = 3) writeonly buffer FacesY { float gy[]; };
layout(std430, binding = 4) writeonly buffer FacesZ { float gz[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  Axial face = faces[n];
  float other = face.other_half_m > 0.0 ? face.other_half_m * resistivity[face.other] : 0.0;
  float g = face.area_m2 / (face.sheath_resistance_m2k_w + other);
  if (face.axis == 0) gx[face.face] = g;
  else if (face.axis == 1) gy[face.face] = g;
  else gz[face.face] = g;
}
