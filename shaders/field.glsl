#version 330 core
// Temperature and colour at a point of the wall. Set and bound by render/passes/field_textures.cpp.

uniform sampler3D temperature_k;
uniform sampler2D place_x;  // per axis, one row: the texture coordinate among voxel centres
uniform sampler2D place_y;
uniform sampler2D place_z;
uniform sampler2D palette;
uniform vec3 wall_size_m;
uniform float palette_entries;
uniform vec2 range_k;  // lowest and highest colour

const float place_entries = 4096.0;

// Two texels mixed by hand: a filtered look-up in a 2-D texture would read four.
float place(sampler2D row, float share) {
  float x = clamp(share, 0.0, 1.0) * (place_entries - 1.0);
  int lower = min(int(x), int(place_entries) - 2);
  return mix(texelFetch(row, ivec2(lower, 0), 0).r, texelFetch(row, ivec2(lower + 1, 0), 0).r, x - float(lower));
}

float share_of_range(float t_k) { return clamp((t_k - range_k.x) / (range_k.y - range_k.x), 0.0, 1.0); }

vec3 colour_of(float t_k) {
  float x = (share_of_range(t_k) * (palette_entries - 1.0) + 0.5) / palette_entries;
  return textureLod(palette, vec2(x, 0.5), 0.0).rgb;
}

// Lines are light on dark colours and dark on light ones.
float ink_against(vec3 colour) {
  return 1.0 - smoothstep(0.42, 0.58, dot(colour, vec3(0.299, 0.587, 0.114)));
}
