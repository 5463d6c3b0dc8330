// The surface of a face as an infrared camera would show it (after field.glsl): temperature alone, no light, no lines.

in vec2 on_face;

uniform sampler2D surface_k;  // 0: nothing there
uniform float mirrored;

out vec4 drawn;

void main() {
  float share_x = mirrored > 0.5 ? 1.0 - on_face.x : on_face.x;
  vec2 coordinate = vec2(place(place_x, share_x), place(place_y, on_face.y));
  float t_k = textureLod(surface_k, coordinate, 0.0).r;
  if (t_k < 150.0) discard;
  drawn = vec4(colour_of(t_k), 1.0);
}
