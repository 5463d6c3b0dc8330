// A face of the wall (after field.glsl): colour is temperature; hatching and isotherms are thin marks on it. The light
// takes at most 8 % away, so that the legend holds on every face.

in vec3 at_m;
flat in vec3 normal;
flat in float cut;

uniform float isotherm_every_k;  // 0: none
uniform float line_px;
uniform float hatching;  // 0 or 1

out vec4 drawn;

float light() {
  vec3 n = abs(normal);
  float side = n.x > 0.5 ? 0.92 : 1.0;
  return n.y > 0.5 ? (normal.y > 0.0 ? 0.96 : 0.92) : side;
}

float isotherm(float t_k) {
  float level = (t_k - 273.15) / isotherm_every_k;
  float step_px = fwidth(level);
  float away_px = abs(fract(level - 0.5) - 0.5) / max(step_px, 1e-7);
  float line = 1.0 - smoothstep(0.5 * line_px - 0.5, 0.5 * line_px + 0.5, away_px);
  // Where the field is level a "line" would fill an area; where it is too steep, lines would run together.
  return line * smoothstep(3e-5, 1e-4, step_px) * (1.0 - smoothstep(0.2, 0.4, step_px));
}

void main() {
  vec3 share = (at_m - 0.0004 * normal) / wall_size_m;
  vec2 x = place(place_x, share.x);
  vec2 y = place(place_y, share.y);
  vec2 z = place(place_z, share.z);
  float t_k = textureLod(temperature_k, vec3(x.r, y.r, z.r), 0.0).r;
  vec3 colour = colour_of(t_k);
  float ink = ink_against(colour);

  if (hatching > 0.0) {
    ivec3 voxel = min(ivec3(vec3(x.g, y.g, z.g)), textureSize(temperature_k, 0) - 1);
    float layer = float(texelFetch(hatch_of_voxel, voxel, 0).r);
    vec2 across_m = abs(normal.x) > 0.5 ? at_m.zy : (abs(normal.y) > 0.5 ? at_m.xz : at_m.xy);
    float mark = texture(hatches, vec3(across_m / hatch_tile_m, layer)).r;
    colour = mix(colour, vec3(ink), 0.16 * hatching * cut * mark);
  }
  if (isotherm_every_k > 0.0) colour = mix(colour, vec3(ink), 0.6 * isotherm(t_k));
  drawn = vec4(colour * light(), 1.0);
}
