// A line on the wall (after field.glsl), with soft edges; light or dark, whichever is seen against the colour there, or
// of an ink of its own.

in vec3 at_m;
#ifdef GL_ES
in float across_px_w;
#else
noperspective in float across_px;
#endif
flat in float half_px;
flat in float opacity;

uniform vec4 own_ink;  // a: 1 where it counts

out vec4 drawn;

void main() {
  vec3 share = at_m / wall_size_m;
  vec3 coordinate = vec3(place(place_x, share.x), place(place_y, share.y), place(place_z, share.z));
  vec3 colour = colour_of(textureLod(temperature_k, coordinate, 0.0).r);
#ifdef GL_ES
  float across_px = across_px_w * gl_FragCoord.w;
#endif
  float covered = clamp(half_px + 0.5 - abs(across_px), 0.0, 1.0);
  vec3 ink = mix(vec3(0.06 + 0.90 * ink_against(colour)), own_ink.rgb, own_ink.a);
  drawn = vec4(ink, covered * opacity);
}
