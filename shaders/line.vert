#version 330 core
// Lines of a width in pixels: each is a rectangle of two triangles, widened across its direction on the screen.

layout(location = 0) in vec3 from_m;
layout(location = 1) in vec3 to_m;
layout(location = 2) in vec2 corner;  // x: 0 at from, 1 at to; y: -1 or 1, the side
layout(location = 3) in vec2 style;   // width in px, opacity
layout(location = 4) in vec3 normal_a;  // of the faces it lies on; both zero: seen from everywhere
layout(location = 5) in vec3 normal_b;

uniform mat4 view_projection;
uniform vec3 eye_m;
uniform vec2 view_px;
uniform float scale;

out vec3 at_m;
#ifdef GL_ES  // has no noperspective: times w here, divided by it in the fragment shader
out float across_px_w;
#else
noperspective out float across_px;
#endif
flat out float half_px;
flat out float opacity;

void main() {
  vec4 from = view_projection * vec4(from_m, 1.0);
  vec4 to = view_projection * vec4(to_m, 1.0);
  // What is behind the eye is cut off, or it would come out mirrored.
  float near = 1e-3;
  float cut_from = 0.0;
  float cut_to = 1.0;
  if (from.w < near) cut_from = (near - from.w) / (to.w - from.w);
  if (to.w < near) cut_to = (near - from.w) / (to.w - from.w);
  bool free = dot(normal_a, normal_a) + dot(normal_b, normal_b) < 0.5;
  bool faces_eye = dot(normal_a, eye_m - from_m) > 0.0 || dot(normal_b, eye_m - from_m) > 0.0;
  bool hidden = (from.w < near && to.w < near) || !(free || faces_eye);
  vec4 a = mix(from, to, cut_from);
  vec4 b = mix(from, to, cut_to);

  vec2 direction_px = (b.xy / b.w - a.xy / a.w) * 0.5 * view_px;
  float length_px = length(direction_px);
  vec2 along = length_px > 1e-4 ? direction_px / length_px : vec2(1.0, 0.0);
  vec2 aside = vec2(-along.y, along.x);

  half_px = 0.5 * style.x * scale;
  opacity = style.y;
  float reach_px = half_px + 1.0;
  float across = corner.y * reach_px;
  at_m = mix(from_m, to_m, corner.x < 0.5 ? cut_from : cut_to);
  vec4 place = corner.x < 0.5 ? a : b;
  // Ends reach out by half a width, so that two lines that meet make a full corner.
  float beyond = corner.x < 0.5 ? -half_px : half_px;
  place.xy += (aside * across + along * beyond) / (0.5 * view_px) * place.w;
  // Before the faces it is drawn on, by about 10 mm at the framed distance: across the width of a line a face that is
  // seen at a flat angle comes that much nearer.
  place.z -= 8e-4 * place.w;
#ifdef GL_ES
  across_px_w = across * place.w;
#else
  across_px = across;
#endif
  gl_Position = hidden ? vec4(2.0, 2.0, 2.0, 1.0) : place;
}
