#version 330 core
// The floor the wall stands on.

layout(location = 0) in vec3 point_m;

uniform mat4 view_projection;

out vec2 at_m;

void main() {
  at_m = point_m.xz;
  gl_Position = view_projection * vec4(point_m, 1.0);
}
