#version 330 core
// Marks of damage on the faces of the wall: as wall.vert, and how dark a mark is.

layout(location = 0) in vec3 point_m;
layout(location = 1) in float face_positive;  // looks along its axis (1) or against it (-1)
layout(location = 2) in float face_own;       // texture coordinate along the normal
layout(location = 3) in vec4 face_lines;      // lines per metre in u and v, sway, sway per metre
layout(location = 4) in vec2 face_crossing;   // how two sets of lines combine, strength
layout(location = 5) in float face_darkened;  // 0: its temperature's colour, 1: a hollow

uniform mat4 view_projection;
uniform vec3 eye_m;
uniform vec3 axis_n;

out vec3 at_m;
flat out float light;
flat out float own;
flat out vec4 lines;
flat out vec2 crossing;
flat out float darkened;

void main() {
  vec3 normal = face_positive * axis_n;
  at_m = point_m;
  own = face_own;
  darkened = face_darkened;
  lines = face_lines;
  crossing = face_crossing;
  light = abs(normal.x) > 0.5 ? 0.92 : (normal.y > 0.5 ? 0.96 : (normal.y < -0.5 ? 0.92 : 1.0));
  bool seen = dot(normal, eye_m - point_m) > 0.0;
  gl_Position = seen ? view_projection * vec4(point_m, 1.0) : vec4(2.0, 2.0, 2.0, 1.0);
}
