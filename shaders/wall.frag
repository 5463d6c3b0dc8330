// A face of the wall (after field.glsl, hatch.glsl): colour is temperature; hatching and isotherms are thin marks on it.
//
// Faces square to one axis are drawn together, with that axis given as a uniform: software renderers run both sides of
// every branch, so that a choice made here would be paid for by each pixel.

in vec3 at_m;
flat in float light;    // of the face, 0.92 to 1
flat in float own;      // texture coordinate along the normal

uniform sampler2D place_u;  // the rows of place_x, place_y or place_z that belong to the two axes across
uniform sampler2D place_v;
uniform vec3 axis_n;  // unit vectors
uniform vec3 axis_u;
uniform vec3 axis_v;
uniform float isotherm_every_k;  // 0: none

out vec4 drawn;

float isotherm(float t_k) {
  float level = (t_k - 273.15) / max(isotherm_every_k, 0.01);
  float step_px = fwidth(level);
  float away_px = abs(fract(level - 0.5) - 0.5) / max(step_px, 1e-7);
  float line = clamp(0.75 * line_px + 0.5 - away_px, 0.0, 1.0);
  // Where the field is level a "line" would fill an area; where it is too steep, lines would run together.
  float seen = clamp(step_px * 1e4 - 0.3, 0.0, 1.0) * clamp(2.0 - 5.0 * step_px, 0.0, 1.0);
  return isotherm_every_k > 0.0 ? line * seen : 0.0;
}

void main() {
  vec3 whole = at_m / wall_size_m;
  vec2 share = vec2(dot(whole, axis_u), dot(whole, axis_v));
  vec3 coordinate = own * axis_n + place(place_u, share.x) * axis_u + place(place_v, share.y) * axis_v;
  float t_k = textureLod(temperature_k, coordinate, 0.0).r;
  vec3 colour = colour_of(t_k);
  // Grain runs upwards on upright faces.
  vec2 across_m = axis_n.x > 0.5 ? at_m.zy : vec2(dot(at_m, axis_u), dot(at_m, axis_v));
  float mark = max(hatch(across_m), 0.78 * isotherm(t_k));
  drawn = vec4(mix(colour, vec3(ink_against(colour)), mark) * light, 1.0);
}
