// A mark of damage (after field.glsl, hatch.glsl): the temperature's colour, darkened, with lines on it. A hollow is near
// black and has no temperature.

in vec3 at_m;
flat in float light;
flat in float own;
flat in float darkened;

uniform sampler2D place_u;  // as in wall.frag
uniform sampler2D place_v;
uniform vec3 axis_n;
uniform vec3 axis_u;
uniform vec3 axis_v;

out vec4 drawn;

void main() {
  vec3 whole = at_m / wall_size_m;
  vec2 share = vec2(dot(whole, axis_u), dot(whole, axis_v));
  vec3 coordinate = own * axis_n + place(place_u, share.x) * axis_u + place(place_v, share.y) * axis_v;
  vec3 colour = colour_of(textureLod(temperature_k, coordinate, 0.0).r);
  vec3 ground = mix(colour, vec3(0.02), darkened);
  float mark = hatch(vec2(dot(at_m, axis_u), dot(at_m, axis_v)));
  drawn = vec4(mix(ground, vec3(ink_against(ground)), mark) * light, 1.0);
}
