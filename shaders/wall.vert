#version 330 core
// Faces of the wall. A face that looks away from the eye is folded up outside the view.

layout(location = 0) in vec3 point_m;
layout(location = 1) in vec3 face_normal;
layout(location = 2) in float face_cut;

uniform mat4 view_projection;
uniform vec3 eye_m;

out vec3 at_m;
flat out vec3 normal;
flat out float cut;

void main() {
  at_m = point_m;
  normal = face_normal;
  cut = face_cut;
  bool seen = dot(face_normal, eye_m - point_m) > 0.0;
  gl_Position = seen ? view_projection * vec4(point_m, 1.0) : vec4(2.0, 2.0, 2.0, 1.0);
}
