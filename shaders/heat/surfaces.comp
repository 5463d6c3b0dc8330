// Films follow the surfaces' own temperatures, and the faces' conductances with them: sim/surfaces.cpp,
// refresh.

layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Codes { uint codes[]; };
layout(std430, binding = 2) readonly buffer Surfaces { Surface surfaces[]; };
layout(std430, binding = 3) buffer Films { float films_w_m2k[]; };
layout(std430, binding = 4) writeonly buffer FacesX { float gx[]; };
layout(std430, binding = 5) writeonly buffer FacesY { float gy[]; };
layout(std430, binding = 6) writeonly buffer FacesZ { float gz[]; };

uniform int count;

void main() {
  int n = int(gl_GlobalInvocationID.x);
  if (n >= count) return;
  Surface at = surfaces[n];
  float half_m2k_w = at.half_m * 2.0 * half_resistivity(codes[at.solid] & 0xFFFFu, rise_k[at.solid]);
  float film = films_w_m2k[n];
  if (at.film >= 0) {
    float surface_k = (rise_k[at.solid] - rise_k[at.outside]) / (1.0 + half_m2k_w * film);
    film = film_w_m2k(at.film, surface_k);
    films_w_m2k[n] = film;
  }
  float g = at.area_m2 / (half_m2k_w + (film < endless ? 1.0 / film : 0.0));
  if (at.axis == 0) gx[at.face] = g;
  else if (at.axis == 1) gy[at.face] = g;
  else gz[at.face] = g;
}
