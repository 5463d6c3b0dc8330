#version 330 core
// The cable: sheath, cores and earth conductor, and the ribbon that stands for it where the wall hides it.

layout(location = 0) in vec3 point_m;
layout(location = 1) in vec3 surface_normal;
layout(location = 2) in vec2 along_kind;  // metres from the start of the route; 0 sheath, 1 core, 2 earth

uniform mat4 view_projection;

out vec3 at_m;
out vec3 normal;
out float along_m;
flat out float kind;

void main() {
  at_m = point_m;
  normal = surface_normal;
  along_m = along_kind.x;
  kind = along_kind.y;
  gl_Position = view_projection * vec4(point_m, 1.0);
}
